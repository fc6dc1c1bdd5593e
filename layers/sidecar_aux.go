package layers

import (
	"fmt"
	"image/color"
	"io"
	"strings"
)

// AuxName is the name of the file beside a raster in which GDAL keeps what the
// raster's own format cannot hold.
func AuxName(raster string) string { return raster + ".aux.xml" }

// WriteAux writes what GDAL 3.6 cannot keep inside a GeoTIFF: the names of the
// classes, as category names and as an attribute table with columns Value, Name,
// Red, Green, Blue (the schema is gdal/data/pamdataset.xsd). Statistics, if any,
// are repeated for programs that only look here.
//
// GDAL lets this file override the raster itself, so it is made from the same
// spec and statistics and says nothing else.
func WriteAux(out io.Writer, spec CogSpec, stats *Statistics) error {
	if err := spec.check(); err != nil {
		return err
	}
	var b strings.Builder
	b.WriteString("<PAMDataset>\n  <PAMRasterBand band=\"1\">\n")
	if spec.Description != "" {
		fmt.Fprintf(&b, "    <Description>%s</Description>\n", escaped(spec.Description))
	}
	if len(spec.Classes) > 0 {
		writeCategories(&b, spec.Classes)
		writeAttributes(&b, spec)
	}
	if stats != nil {
		b.WriteString("    <Metadata>\n")
		for _, item := range stats.stored(spec).items() {
			fmt.Fprintf(&b, "      <MDI key=\"%s\">%s</MDI>\n", item[0], item[1])
		}
		b.WriteString("    </Metadata>\n")
	}
	b.WriteString("  </PAMRasterBand>\n</PAMDataset>\n")
	_, err := io.WriteString(out, b.String())
	return err
}

// writeCategories lists the names by code; codes without a class are blank.
func writeCategories(b *strings.Builder, classes []Class) {
	var names [256]string
	last := 0
	for _, c := range classes {
		names[c.Value] = c.Name
		last = max(last, c.Value)
	}
	b.WriteString("    <CategoryNames>\n")
	for _, name := range names[:last+1] {
		fmt.Fprintf(b, "      <Category>%s</Category>\n", escaped(name))
	}
	b.WriteString("    </CategoryNames>\n")
}

// ratColumns are the attribute table's columns with GDAL's numbers for their
// type (0 integer, 2 text) and use (5 value, 2 name, 6 to 8 red, green, blue):
// gdal.h, GDALRATFieldType and GDALRATFieldUsage.
var ratColumns = []struct {
	name      string
	kind, use int
}{{"Value", 0, 5}, {"Name", 2, 2}, {"Red", 0, 6}, {"Green", 0, 7}, {"Blue", 0, 8}}

func writeAttributes(b *strings.Builder, spec CogSpec) {
	colours := spec.colours()
	b.WriteString("    <GDALRasterAttributeTable tableType=\"thematic\">\n")
	for i, c := range ratColumns {
		fmt.Fprintf(b, "      <FieldDefn index=\"%d\">\n        <Name>%s</Name>\n        <Type>%d</Type>\n        <Usage>%d</Usage>\n      </FieldDefn>\n",
			i, c.name, c.kind, c.use)
	}
	for i, class := range spec.Classes {
		var shade color.NRGBA
		if colours != nil {
			shade = colours[class.Value]
		}
		fmt.Fprintf(b, "      <Row index=\"%d\">\n        <F>%d</F>\n        <F>%s</F>\n        <F>%d</F>\n        <F>%d</F>\n        <F>%d</F>\n      </Row>\n",
			i, class.Value, escaped(class.Name), shade.R, shade.G, shade.B)
	}
	b.WriteString("    </GDALRasterAttributeTable>\n")
}
