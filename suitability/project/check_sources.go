package project

import (
	"fmt"
	"os"
	"slices"
	"strconv"
	"strings"

	"tussock/layers"
)

// layerKeys are the keys of each kind of layer, besides source, kind, licence.
var layerKeys = map[string][]string{
	"classes":  {"band", "resample", "nodata", "classes", "layer", "where", "class_field"},
	"quantity": {"band", "resample", "nodata", "unit"},
	"features": {"layer", "where", "burn", "width", "traffic"},
}

var resampleWords = map[string][]string{
	"classes":  {"nearest", "majority"},
	"quantity": {"nearest", "bilinear", "average"},
}

// isVector tells whether the layer's source must be a vector source.
func (l *layer) isVector() bool { return l.Kind == "features" || l.ClassField != "" }

func (r *reading) checkLayer(name string, l *layer) {
	if l.doc == nil {
		return
	}
	if l.Source != "" {
		r.checkExists(l.at, "source", l.Source)
	}
	allowed, known := layerKeys[l.Kind]
	if !known {
		return
	}
	always := []string{"source", "kind", "licence"}
	for _, f := range fieldsOf(valueOf(l)) {
		key := f.rule.key
		if l.has(key) && !slices.Contains(allowed, key) && !slices.Contains(always, key) {
			l.doc.keyProblem(join(l.path, key), "a layer of kind "+l.Kind+" may have "+strings.Join(append(always, allowed...), ", "),
				"a layer of kind %s has no `%s`", l.Kind, key)
		}
	}
	if words := resampleWords[l.Kind]; l.Resample != "" && words != nil && !slices.Contains(words, l.Resample) {
		l.doc.problem(join(l.path, "resample"), "use "+strings.Join(words, ", "), "%s cannot be resampled by %s", l.Kind, l.Resample)
	}
	if l.ClassField != "" {
		l.checkRasterKeys()
	}
	if l.Width > 0 && l.Kind == "features" && l.Burn != "share" {
		l.doc.keyProblem(join(l.path, "width"), "write burn: share, or leave the width out", "`width` only counts under `burn: share`")
	}
	l.checkClasses()
}

// checkRasterKeys refuses what polygons with a class each do not have.
func (l *layer) checkRasterKeys() {
	for _, key := range []string{"band", "resample", "nodata"} {
		if l.has(key) {
			l.doc.keyProblem(join(l.path, key), "", "with `class_field` the source is a vector one, which has no `%s`", key)
		}
	}
}

func (l *layer) checkClasses() {
	if len(l.Classes) > layers.MaxClasses {
		l.doc.problem(join(l.path, "classes"), "", "%d classes are more than %d", len(l.Classes), layers.MaxClasses)
	}
	seen := map[word]string{}
	for _, c := range l.Classes {
		path := join(join(l.path, "classes"), c.Name)
		if _, err := strconv.ParseInt(c.Name, 10, 32); err != nil {
			l.doc.keyProblem(path, "write number: name, as in {1: open_water}", "%q is no class number", short(c.Name))
		}
		if before, twice := seen[c.Value.Name]; twice && c.Value.Name != "" {
			l.doc.problem(path, "", "classes %s and %s are both named %q", before, c.Name, c.Value.Name)
		}
		seen[c.Value.Name] = c.Name
	}
}

// checkExists reports a source that should be a file and is not there.
func (r *reading) checkExists(a at, key, source string) {
	path, isFile := inFolder(r.folder, source)
	if !isFile {
		return
	}
	if _, err := os.Stat(path); err != nil {
		hint := "paths start at the folder of " + r.path
		if best := besides(path); best != "" {
			hint = fmt.Sprintf("did you mean `%s`?", strings.TrimSuffix(source, base(source))+best)
		}
		a.doc.problem(join(a.path, key), hint, "%s: %s", short(source), cannotRead(err))
	}
}

// base is the last part of a source, whichever slash it is written with.
func base(source string) string {
	return source[strings.LastIndexAny(source, `/\`)+1:]
}

func (r *reading) checkSources() {
	for _, s := range r.file.Records {
		r.checkSource(s.at, s.Source)
		r.checkCRS(s.at, s.CRS)
	}
	for _, s := range r.file.Ranges {
		r.checkSource(s.at, s.Source)
		r.checkCRS(s.at, s.CRS)
		for _, section := range []struct {
			key   string
			words map[string]word
		}{{"fields", s.Fields}, {"values", s.Values}} {
			for key := range section.words {
				if !slices.Contains(rangeFields, key) {
					s.doc.keyProblem(join(join(s.path, section.key), key), closest(key, rangeFields), "ranges have no field `%s`", short(key))
				}
			}
		}
	}
	f := &r.file
	for _, list := range []many[data]{f.Visits, f.Parcels, f.Sites, f.Volunteers, f.Audiences, {f.Places}} {
		for _, s := range list {
			r.checkSource(s.at, s.Source)
		}
	}
}

// checkPlaces tests which of our fields a gazetteer's columns stand for.
func (r *reading) checkPlaces() {
	s := &r.file.Places
	for key := range s.Fields {
		if !slices.Contains(placeFields, key) {
			s.doc.keyProblem(join(join(s.path, "fields"), key), closest(key, placeFields), "places have no field `%s`", short(key))
		}
	}
}

var placeFields = []string{"name", "kind", "people", "rank"}

var rangeFields = []string{"species", "status", "year", "author", "scale"}

func (r *reading) checkSource(a at, source string) {
	if a.doc != nil && source != "" {
		r.checkExists(a, "source", source)
	}
}

func (r *reading) checkCRS(a at, text string) {
	if a.doc == nil || text == "" {
		return
	}
	if _, err := layers.ParseCRS(text); err != nil {
		message, _ := split(err)
		a.doc.problem(join(a.path, "crs"), crsHint, "%s", message)
	}
}
