package suitability

import (
	"fmt"
	"maps"
	"slices"
	"strings"
)

// parts are what a surface was made from, as its item tells. An empty text was
// not recorded: items of earlier programs lack some.
type parts struct {
	Version  string               `json:"version"`
	Date     string               `json:"datetime"`
	Title    string               `json:"title"`
	Audience string               `json:"tussock:audience"`
	Project  string               `json:"tussock:project"`
	Species  *string              `json:"tussock:species"` // the scientific name; nil for the number of species
	Engine   string               `json:"tussock:engine"`
	GDAL     string               `json:"tussock:gdal"`
	Profile  string               `json:"tussock:profile"`
	Source   string               `json:"tussock:profile_source"`
	Recipe   string               `json:"tussock:recipe"`  // the profile without records and other species' models
	Records  string               `json:"tussock:records"` // "none" where they shape nothing
	Range    string               `json:"tussock:range"`
	Inputs   map[string]string    `json:"tussock:inputs"`
	Models   map[string]modelHash `json:"tussock:models"`
	Values   string               `json:"tussock:values"`
	Look     string               `json:"tussock:look"`
	MapCell  int                  `json:"tussock:map_cell"`
	Licences []string             `json:"tussock:licences"`
}

// modelHash is another species' model, on which one rests.
type modelHash struct {
	Recipe  string `json:"recipe"`
	Records string `json:"records"`
	Range   string `json:"range"`
}

// Part is one thing that a surface is made from and that differs between two
// versions. Its codes are fixed.
type Part struct {
	Kind string `json:"part"`           // see the Part constants
	Name string `json:"name,omitempty"` // of the layer, or the other species' id
	Old  string `json:"old"`            // a hash or a value
	New  string `json:"new"`
	// Cells tells whether it could change a cell. The others change words and
	// colours in the files; a reference date shapes cells by way of the records'
	// weights alone, which are a part of their own.
	Cells bool `json:"may_change_cells"`
}

// The kinds of parts.
const (
	PartEngine   = "engine"
	PartLayer    = "layer"
	PartProfile  = "profile"
	PartRecords  = "records"
	PartModel    = "other species"
	PartRange    = "range"
	PartBreaks   = "class breaks"
	PartValues   = "stored values"
	PartMapCell  = "map cell"
	PartColours  = "colours"
	PartDate     = "reference date"
	PartWords    = "names and sources"
	PartLicences = "licences"
	PartGDAL     = "GDAL version"
)

// Words are a part as a sentence has it: "the layer cover".
func (p Part) Words() string {
	switch p.Kind {
	case PartLayer:
		switch {
		case p.Old == "":
			return fmt.Sprintf("the layer %s (which only the newer version reads)", p.Name)
		case p.New == "":
			return fmt.Sprintf("the layer %s (which only the older version reads)", p.Name)
		}
		return "the layer " + p.Name
	case PartModel:
		switch {
		case p.Old == "":
			return "the model of " + p.Name + ", on which the newer version rests"
		case p.New == "":
			return "the model of " + p.Name + ", on which the older version rests"
		}
		return "the model of " + p.Name + ", on which it rests"
	case PartRecords:
		return "the records that count, or their weights"
	case PartProfile:
		return "the species' profile"
	}
	return "the " + p.Kind
}

// changedParts compares what two surfaces were made from. Unrecorded names the
// parts that one of the two does not record, so that nobody can tell.
func changedParts(old, now parts, oldBreaks, nowBreaks string) (changed []Part, unrecorded []string) {
	if old.Version == now.Version {
		return nil, nil
	}
	d := &partDiff{}
	d.text(PartEngine, "", old.Engine, now.Engine, true)
	d.layers(old, now)
	d.profile(old, now)
	d.text(PartRange, "", old.Range, now.Range, true)
	d.text(PartBreaks, "", oldBreaks, nowBreaks, true)
	d.text(PartValues, "", old.Values, now.Values, true)
	d.text(PartMapCell, "", fmt.Sprint(old.MapCell), fmt.Sprint(now.MapCell), true)
	d.text(PartColours, "", old.Look, now.Look, false)
	d.text(PartDate, "", old.Date, now.Date, false)
	d.text(PartWords, "", old.words(), now.words(), false)
	d.text(PartLicences, "", strings.Join(old.Licences, ", "), strings.Join(now.Licences, ", "), false)
	d.text(PartGDAL, "", old.GDAL, now.GDAL, true) // another release may move a point by a hair
	return d.changed, d.unrecorded
}

func (p parts) words() string { return strings.Join([]string{p.Project, p.Title, p.Source}, "; ") }

type partDiff struct {
	changed    []Part
	unrecorded []string
}

// text compares one part.
func (d *partDiff) text(kind, name, old, now string, cells bool) {
	switch {
	case cells && (old == "" || now == ""): // even where both are: they may have differed
		d.unrecorded = append(d.unrecorded, kind)
	case old == now || old == "" || now == "":
	default:
		d.changed = append(d.changed, Part{Kind: kind, Name: name, Old: old, New: now, Cells: cells})
	}
}

// layers compares inputs. The first items did not record them.
func (d *partDiff) layers(old, now parts) {
	if old.noInputs() || now.noInputs() {
		d.unrecorded = append(d.unrecorded, "layers")
		return
	}
	for _, name := range namesOfBoth(old.Inputs, now.Inputs) {
		if a, b := old.Inputs[name], now.Inputs[name]; a != b {
			d.changed = append(d.changed, Part{Kind: PartLayer, Name: name, Old: a, New: b, Cells: true})
		}
	}
}

func (p parts) noInputs() bool { return len(p.Inputs) == 0 && p.Recipe == "" }

// profile tells apart what the experts say, the records, and the models of other
// species. An item that does not record them apart, but whose profile as a whole
// is the same, leaves no doubt.
func (d *partDiff) profile(old, now parts) {
	if old.Profile == now.Profile && old.Profile != "" {
		return
	}
	d.text(PartProfile, "", old.Recipe, now.Recipe, true)
	d.text(PartRecords, "", old.Records, now.Records, true)
	if old.Recipe == "" || now.Recipe == "" {
		return // and so not recorded apart
	}
	for _, id := range namesOfBoth(old.Models, now.Models) {
		if a, b := old.Models[id], now.Models[id]; a != b {
			d.changed = append(d.changed, Part{Kind: PartModel, Name: id, Old: a.text(), New: b.text(), Cells: true})
		}
	}
}

func (m modelHash) text() string {
	if m == (modelHash{}) {
		return ""
	}
	return fmt.Sprintf("profile %s, records %s, range %s", m.Recipe, m.Records, m.Range)
}

func namesOfBoth[T any](a, b map[string]T) []string {
	names := slices.AppendSeq(slices.Collect(maps.Keys(a)), maps.Keys(b))
	slices.Sort(names)
	return slices.Compact(names)
}
