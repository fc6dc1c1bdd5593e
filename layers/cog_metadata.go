package layers

import (
	"encoding/xml"
	"maps"
	"slices"
	"strconv"
	"strings"
)

// metadataXML is the content of GDAL's tag 42112 (GDAL's GeoTIFF driver page,
// "Internal metadata"): items of the file, then those of its one band. Items
// are in the order of their names, so that equal specs give equal bytes.
func (s CogSpec) metadataXML(stats *Statistics) string {
	var b strings.Builder
	b.WriteString("<GDALMetadata>\n")
	for _, name := range slices.Sorted(maps.Keys(s.Metadata)) {
		writeItem(&b, name, s.Metadata[name], "")
	}
	if stats != nil {
		for _, item := range stats.stored(s).items() {
			writeItem(&b, item[0], item[1], ` sample="0"`)
		}
	}
	writeItem(&b, "OFFSET", number(s.Offset), ` sample="0" role="offset"`)
	writeItem(&b, "SCALE", number(s.scale()), ` sample="0" role="scale"`)
	if s.Unit != "" {
		writeItem(&b, "UNITTYPE", s.Unit, ` sample="0" role="unittype"`)
	}
	if s.Description != "" {
		writeItem(&b, "DESCRIPTION", s.Description, ` sample="0" role="description"`)
	}
	b.WriteString("</GDALMetadata>\n")
	return b.String()
}

// items are statistics under GDAL's names, in the order of the names. A raster
// without a known cell has only its share of them.
func (s Statistics) items() [][2]string {
	percent := [2]string{"STATISTICS_VALID_PERCENT", number(s.ValidPercent)}
	if s.Count == 0 {
		return [][2]string{percent}
	}
	return [][2]string{
		{"STATISTICS_MAXIMUM", number(s.Max)},
		{"STATISTICS_MEAN", number(s.Mean)},
		{"STATISTICS_MINIMUM", number(s.Min)},
		{"STATISTICS_STDDEV", number(s.StdDev)},
		percent,
	}
}

func writeItem(b *strings.Builder, name, text, attributes string) {
	b.WriteString(`  <Item name="` + escaped(name) + `"` + attributes + `>` + escaped(markup.Replace(text)) + "</Item>\n")
}

// markup escapes a text once more than XML asks for: GDAL resolves the entities
// of an item's text twice, and so writes them twice.
var markup = strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;", `"`, "&quot;")

// number is the shortest decimal that reads back as the same float64.
func number(v float64) string { return strconv.FormatFloat(v, 'g', -1, 64) }

// escaped is a text as XML writes it; bytes that are no UTF-8 and characters
// that XML forbids become U+FFFD.
func escaped(text string) string {
	var b strings.Builder
	if err := xml.EscapeText(&b, []byte(text)); err != nil {
		panic(err) // memory takes every byte
	}
	return b.String()
}
