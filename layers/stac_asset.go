package layers

import (
	"fmt"
	"strings"
)

func (a StacAsset) object() map[string]any {
	o := map[string]any{"href": a.Href}
	setText(o, "title", a.Title)
	setText(o, "description", a.Description)
	setText(o, "type", a.mediaType())
	if len(a.Roles) > 0 {
		o["roles"] = a.Roles
	}
	if a.Raster != nil {
		a.addRaster(o)
	}
	if a.SHA256 != "" {
		o["file:checksum"], o["file:size"] = MultihashSHA256+a.SHA256, a.Size
	}
	return o
}

// MultihashSHA256 goes before a hexadecimal SHA-256 in the file extension's
// file:checksum, which is a multihash: the code of sha2-256, 0x12, and the
// length, 0x20 bytes (multiformats.io, table of codecs).
const MultihashSHA256 = "1220"

func (a StacAsset) mediaType() string {
	if a.MediaType == "" && a.Raster != nil {
		return CogMediaType
	}
	return a.MediaType
}

// addRaster describes the cells with the common fields of STAC 1.1 (data_type,
// nodata, unit, statistics) and the raster extension's own; a raster of one
// band has them on the asset itself. Statistics are of stored numbers, as in
// the file.
func (a StacAsset) addRaster(o map[string]any) {
	spec := a.Raster
	o["data_type"], o["nodata"] = "uint8", any(int(spec.Nodata))
	if spec.Cells == CogFloats {
		o["data_type"], o["nodata"] = "float32", "nan"
	}
	setText(o, "unit", spec.Unit)
	o["raster:sampling"] = "area"
	o["raster:scale"], o["raster:offset"] = spec.scale(), spec.Offset
	o["raster:spatial_resolution"] = spec.Grid.Cell
	if a.Statistics != nil {
		o["statistics"] = stacStatistics(a.Statistics.stored(*spec))
	}
	if len(spec.Classes) > 0 {
		o["classification:classes"] = stacClasses(spec.Classes)
	}
}

func stacStatistics(s Statistics) map[string]any {
	o := map[string]any{"count": s.Count, "valid_percent": s.ValidPercent}
	if s.Count > 0 {
		o["minimum"], o["maximum"], o["mean"], o["stddev"] = s.Min, s.Max, s.Mean, s.StdDev
	}
	return o
}

// stacClasses lists classes by the classification extension: name is for
// machines, of letters, digits, hyphens and underscores; description is the
// class as people call it.
func stacClasses(classes []Class) []map[string]any {
	var list []map[string]any
	for _, c := range classes {
		o := map[string]any{"value": c.Value, "name": machineName(c), "description": c.Name}
		if c.Name == "" {
			o["description"] = machineName(c)
		}
		if c.Colour.A != 0 {
			o["color_hint"] = fmt.Sprintf("%02X%02X%02X", c.Colour.R, c.Colour.G, c.Colour.B)
		}
		list = append(list, o)
	}
	return list
}

func machineName(c Class) string {
	name := strings.Map(func(r rune) rune {
		if r >= 'a' && r <= 'z' || r >= '0' && r <= '9' || r == '-' || r == '_' {
			return r
		}
		return '_'
	}, strings.ToLower(c.Name))
	if strings.Trim(name, "_") == "" {
		return fmt.Sprintf("class_%d", c.Value)
	}
	return name
}

// isWKT2 tells by the first keyword whether a text is WKT 2 (ISO 19162).
func isWKT2(wkt string) bool {
	keyword, _, _ := strings.Cut(wkt, "[")
	switch strings.TrimSpace(keyword) {
	case "PROJCRS", "GEOGCRS", "GEODCRS", "ENGCRS", "BOUNDCRS", "COMPOUNDCRS", "DERIVEDPROJCRS":
		return true
	}
	return false
}
