package life

import (
	"fmt"
	"io"
	"math"
	"path/filepath"
	"strings"
	"time"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"

	"tussock/layers"
)

// listMark parts the items of a list in one cell (Darwin Core, recommended best
// practice for lists).
const listMark = " | "

// archiveTable is a table of a Darwin Core archive: the row type, and a term for
// each column behind the first, which is the key.
type archiveTable struct {
	file, rowType, key string
	terms              []string // with prefix dwc: or eco:
	rows               [][]string
}

var prefixes = strings.NewReplacer("dwc:", "http://rs.tdwg.org/dwc/terms/", "eco:", "http://rs.tdwg.org/eco/terms/")

// writeVisits writes the visits as a Darwin Core archive in a folder: a core of
// events, the Humboldt extension on their effort and on what was not found (TDWG
// 2025), and an extension of occurrences.
func writeVisits(folder string, l *Life) error {
	event := &archiveTable{file: "event.txt", rowType: "dwc:Event", key: "dwc:eventID", terms: []string{
		"dwc:eventType", "dwc:eventDate", "dwc:eventTime", "dwc:locationID", "dwc:locality", "dwc:decimalLatitude", "dwc:decimalLongitude", "dwc:geodeticDatum",
		"dwc:coordinateUncertaintyInMeters", "dwc:samplingProtocol", "dwc:eventRemarks",
	}}
	effort := &archiveTable{file: "humboldt.txt", rowType: "eco:Event", terms: []string{
		"eco:targetTaxonomicScope", "eco:isTaxonomicScopeFullyReported", "eco:isAbsenceReported", "eco:absentTaxa", "eco:isAbundanceReported",
		"eco:protocolNames", "eco:isSamplingEffortReported", "eco:samplingEffortValue", "eco:samplingEffortUnit",
		"eco:eventDurationValue", "eco:eventDurationUnit", "eco:samplingPerformedBy", "eco:reportedWeather",
	}}
	found := &archiveTable{file: "occurrence.txt", rowType: "dwc:Occurrence", terms: []string{
		"dwc:occurrenceID", "dwc:basisOfRecord", "dwc:scientificName", "dwc:vernacularName", "dwc:individualCount", "dwc:lifeStage", "dwc:occurrenceStatus", "dwc:recordedBy",
	}}
	for i, at := range l.visitPlaces() {
		v := &l.Visits[i]
		event.rows = append(event.rows, v.eventRow(at))
		effort.rows = append(effort.rows, v.effortRow())
		found.rows = append(found.rows, v.foundRows()...)
	}
	for _, t := range []*archiveTable{event, effort, found} {
		if err := t.write(filepath.Join(folder, t.file)); err != nil {
			return err
		}
	}
	return layers.Publish(filepath.Join(folder, "meta.xml"), func(w io.Writer) error {
		_, err := io.WriteString(w, metaFile(event, effort, found))
		return err
	})
}

// visitPlaces are the visits' places in longitude and latitude.
func (l *Life) visitPlaces() []orb.Point {
	xs, ys := make([]float64, len(l.Visits)), make([]float64, len(l.Visits))
	for i, v := range l.Visits {
		xs[i], ys[i] = v.Site.at[0], v.Site.at[1]
	}
	l.toDegrees(xs, ys)
	all := make([]orb.Point, len(xs))
	for i := range all {
		all[i] = orb.Point{xs[i], ys[i]}
	}
	return all
}

// eventRow: the uncertainty is the circle around the middle that holds the whole
// site.
func (v *Visit) eventRow(at orb.Point) []string {
	return []string{
		v.ID, "SiteVisit", v.Day.Format(time.DateOnly), v.Start, v.Site.ID, v.Site.Name, fmt.Sprintf("%.6f", at[1]), fmt.Sprintf("%.6f", at[0]), "EPSG:4326",
		fmt.Sprint(int(math.Ceil(reachOf(v.Site.Shape, v.Site.at)))), v.Protocol, v.remarks(),
	}
}

func (v *Visit) remarks() string {
	if len(v.Finds) == 0 && v.Reported {
		return "nothing found"
	}
	return ""
}

// reachOf is how far the farthest corner of a shape is from a point.
func reachOf(shape orb.Geometry, from orb.Point) float64 {
	far, line := 0.0, orb.LineString(nil)
	switch g := shape.(type) {
	case orb.Polygon:
		line = orb.LineString(g[0])
	case orb.LineString:
		line = g
	}
	for _, p := range line {
		far = max(far, planar.Distance(p, from))
	}
	return far
}

// effortRow says what was looked for, what of it was not found, and how hard
// people looked: person-hours.
func (v *Visit) effortRow() []string {
	var targets, absent []string
	for _, t := range v.Targets {
		targets = append(targets, t.Scientific)
		if v.Reported && !v.found(t) {
			absent = append(absent, t.Scientific)
		}
	}
	reported := fmt.Sprint(v.Reported)
	return []string{
		v.ID, strings.Join(targets, listMark), reported, reported, strings.Join(absent, listMark), "true",
		v.Protocol, "true", fmt.Sprintf("%.2f", float64(v.Minutes*len(v.People))/60), "person-hours",
		fmt.Sprint(v.Minutes), "minutes", strings.Join(v.People, listMark), v.Weather,
	}
}

func (v *Visit) found(s *Species) bool {
	for _, f := range v.Finds {
		if f.Species == s {
			return true
		}
	}
	return false
}

func (v *Visit) foundRows() [][]string {
	var rows [][]string
	for k, f := range v.Finds {
		rows = append(rows, []string{
			v.ID, fmt.Sprintf("%s-%d", v.ID, k+1), "HumanObservation", f.Species.Scientific, f.Species.Common, fmt.Sprint(f.Count), f.Stage, "present", strings.Join(v.People, listMark),
		})
	}
	return rows
}

// write writes a table, its columns parted by tabs. None of our texts holds one.
func (t *archiveTable) write(path string) error {
	return layers.Publish(path, func(w io.Writer) error {
		head := []string{"eventID"}
		for _, term := range t.terms {
			_, name, _ := strings.Cut(term, ":")
			head = append(head, name)
		}
		for _, row := range append([][]string{head}, t.rows...) {
			if _, err := fmt.Fprintln(w, strings.Join(row, "\t")); err != nil {
				return err
			}
		}
		return nil
	})
}

// metaFile describes the tables by the Darwin Core text guide (Darwin Core
// Maintenance Group, TDWG 2021).
func metaFile(core *archiveTable, extensions ...*archiveTable) string {
	var b strings.Builder
	b.WriteString("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<archive xmlns=\"http://rs.tdwg.org/dwc/text/\">\n")
	core.describe(&b, "core", "id")
	for _, t := range extensions {
		t.describe(&b, "extension", "coreid")
	}
	b.WriteString("</archive>\n")
	return b.String()
}

func (t *archiveTable) describe(b *strings.Builder, element, key string) {
	fmt.Fprintf(b, "  <%s encoding=\"UTF-8\" fieldsTerminatedBy=\"\\t\" linesTerminatedBy=\"\\n\" fieldsEnclosedBy=\"\" ignoreHeaderLines=\"1\" rowType=\"%s\">\n", element, prefixes.Replace(t.rowType))
	fmt.Fprintf(b, "    <files><location>%s</location></files>\n    <%s index=\"0\"/>\n", t.file, key)
	if t.key != "" {
		fmt.Fprintf(b, "    <field index=\"0\" term=\"%s\"/>\n", prefixes.Replace(t.key))
	}
	for i, term := range t.terms {
		fmt.Fprintf(b, "    <field index=\"%d\" term=\"%s\"/>\n", i+1, prefixes.Replace(term))
	}
	fmt.Fprintf(b, "  </%s>\n", element)
}
