package project

import (
	"cmp"
	"encoding/json"
	"fmt"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"time"

	"tussock/layers"
)

// write puts the project file together.
func (s *starter) write() string {
	var b strings.Builder
	s.writeArea(&b)
	b.WriteString("\n# Each layer is a source under a name of its own. Classes are lined up on the\n# grid by majority or nearest, quantities by bilinear, average or nearest.\nlayers:\n")
	for _, l := range s.layers {
		l.write(&b)
	}
	for _, l := range s.left {
		fmt.Fprintf(&b, "  # left out: %s: %s\n", oneLine(l.file), l.reason)
	}
	s.writeRecords(&b)
	s.writeRanges(&b)
	s.writeSpecies(&b)
	b.WriteString(startOutput)
	return b.String()
}

const startOutput = `
# What is written, and where. Values are bytes (steps of 0.005) or floats.
output:
  folder: out
  values: bytes
  classes: [0.2, 0.4, 0.6, 0.8]
  counted_class: 0.6
`

func (s *starter) writeArea(b *strings.Builder) {
	name := filepath.Base(s.folder)
	if whole, err := filepath.Abs(s.folder); err == nil {
		name = filepath.Base(whole)
	}
	b.WriteString("# A first project file. Read it through, put right what was guessed, and run\n# `tussock check`. Lengths are metres.\narea:\n")
	fmt.Fprintf(b, "  name: %s\n", quoted(name))
	fmt.Fprintf(b, "  date: %s  # reference date: ages count from it, never from today\n", s.date())
	if s.like != "" {
		b.WriteString("  # The grid of a raster; or write crs, cell, and extent: [xmin, ymin, xmax, ymax]\n  # or boundary: file.gpkg in its place.\n")
		fmt.Fprintf(b, "  grid: {like: %s}\n", quoted(s.like))
		return
	}
	bound := s.grid.Bound(s.grid.Window())
	fmt.Fprintf(b, "  grid:\n    crs: %s\n    cell: %s\n    extent: [%s, %s, %s, %s]\n", quoted(cmp.Or(s.grid.CRS.Code(), s.grid.CRS.WKT())), decimal(s.grid.Cell),
		decimal(bound.Min[0]), decimal(bound.Min[1]), decimal(bound.Max[0]), decimal(bound.Max[1]))
}

// date is the day of the youngest source, so that starting twice writes the
// same file.
func (s *starter) date() string {
	youngest := time.Date(2000, 1, 1, 0, 0, 0, 0, time.UTC)
	for _, l := range s.layers {
		if t := modified(s.path(l.source)); t.After(youngest) {
			youngest = t
		}
	}
	return youngest.Format(time.DateOnly)
}

func (l *startLayer) write(b *strings.Builder) {
	fmt.Fprintf(b, "  %s:\n    source: %s\n", quoted(l.name), quoted(l.source))
	if l.spec.OGRLayer != "" {
		fmt.Fprintf(b, "    layer: %s\n", quoted(l.spec.OGRLayer))
	}
	switch {
	case l.vector != nil:
		fmt.Fprintf(b, "    kind: features  # %s, %d of them\n", oneLine(l.vector.info.GeomKind), l.vector.info.Count)
		b.WriteString("    burn: touch  # or centre, or share with a width for lines\n")
	case l.spec.Kind == layers.Classes:
		b.WriteString("    kind: classes\n    resample: majority\n")
		l.writeClasses(b)
	default:
		fmt.Fprintf(b, "    kind: quantity  # from %.6g to %.6g\n", l.raster.low, l.raster.high)
		if l.spec.Unit != "" {
			fmt.Fprintf(b, "    unit: %s\n", quoted(l.spec.Unit))
		}
		b.WriteString("    resample: bilinear\n")
	}
	if l.raster != nil && l.raster.info.Bands > 1 {
		fmt.Fprintf(b, "    band: 1  # of %d\n", l.raster.info.Bands)
	}
}

func (l *startLayer) writeClasses(b *strings.Builder) {
	if named := l.raster.info.Classes; len(named) > 0 {
		b.WriteString("    # named in the file:\n")
		for _, c := range named {
			fmt.Fprintf(b, "    #   %d: %s\n", c.Value, oneLine(c.Name))
		}
	}
	if invented := l.raster.invented(); invented != nil {
		b.WriteString("    classes:  # names were invented for these: give them good ones\n")
		for _, pair := range invented {
			fmt.Fprintf(b, "      %s\n", pair)
		}
	}
}

func (s *starter) writeRecords(b *strings.Builder) {
	if len(s.records) == 0 {
		return
	}
	b.WriteString("\n# Occurrence records (Darwin Core).\nrecords:\n")
	for _, r := range s.records {
		fmt.Fprintf(b, "  - source: %s  # %d records, %d rows kept aside\n", quoted(r.source), r.kept, r.aside)
		if r.crs != "" {
			fmt.Fprintf(b, "    crs: %s  # guessed: the table does not say what x and y are in\n", quoted(r.crs))
		}
	}
}

func (s *starter) writeRanges(b *strings.Builder) {
	if len(s.ranges) == 0 {
		return
	}
	b.WriteString("\n# Documented range polygons.\nranges:\n")
	for _, r := range s.ranges {
		fmt.Fprintf(b, "  - source: %s\n", quoted(r.vector.file))
		if r.vector.several {
			fmt.Fprintf(b, "    layer: %s\n", quoted(r.vector.info.Layer))
		}
		source, _ := r.vector.rangeSource("")
		var pairs []string
		for _, key := range rangeFields {
			if column := source.Fields[key]; column != "" {
				pairs = append(pairs, key+": "+quoted(column))
			}
		}
		fmt.Fprintf(b, "    fields: {%s}\n", strings.Join(pairs, ", "))
	}
}

var plainText = regexp.MustCompile(`^([A-Za-z_][A-Za-z0-9_./()-]*( [A-Za-z0-9_./()-]+)*|[A-Z]+:[0-9]+)$`)

// quoted is a text as YAML may hold it: plain where nobody can misread it, else
// in double quotes as JSON writes it, which YAML reads alike.
func quoted(text string) string {
	switch strings.ToLower(text) {
	case "true", "false", "null", "yes", "no", "on", "off":
		return strconv.Quote(text)
	}
	if plainText.MatchString(text) {
		return text
	}
	var b strings.Builder
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	if err := e.Encode(text); err != nil {
		return strconv.Quote(text)
	}
	return strings.TrimSpace(b.String())
}
