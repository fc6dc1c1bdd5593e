package land

import (
	"fmt"
	"os"
	"path/filepath"

	"github.com/paulmach/orb"

	"tussock/cmd/averholt/geo"
	"tussock/layers"
)

// WriteFiles writes the ground into a folder, which it makes where it is
// missing: ground/*.tif, ground/*.geojson and boundary.geojson.
func (d *District) WriteFiles(folder string) error {
	ground := filepath.Join(folder, "ground")
	if err := os.MkdirAll(ground, 0o777); err != nil {
		return fmt.Errorf("land: %w", err)
	}
	if err := d.writeRasters(ground); err != nil {
		return err
	}
	for _, f := range d.features() {
		if err := geo.Write(filepath.Join(ground, f.name+".geojson"), d.Grid.CRS, f.features); err != nil {
			return err
		}
	}
	return geo.Write(filepath.Join(folder, "boundary.geojson"), d.Grid.CRS, []geo.Feature{{
		Geometry:   d.boundary(),
		Properties: []geo.Property{{Name: "name", Value: "Averholt (invented)"}},
	}})
}

// file is one file of features.
type file struct {
	name     string
	features []geo.Feature
}

func (d *District) features() []file {
	return []file{
		{"roads", d.roadFeatures()},
		{"tracks", lineFeatures("track", d.Tracks)},
		{"railway", lineFeatures("disused railway", d.Railway)},
		{"river", d.waterFeatures()},
		{"ponds", d.pondFeatures()},
		{"farmyards", d.yardFeatures()},
	}
}

func lineFeatures(kind string, lines []Line) []geo.Feature {
	var all []geo.Feature
	for _, l := range lines {
		all = append(all, geo.Feature{Geometry: l.Path, Properties: []geo.Property{{Name: "name", Value: l.Name}, {Name: "kind", Value: kind}}})
	}
	return all
}

func (d *District) waterFeatures() []geo.Feature {
	all := lineFeatures("river", d.River)
	all = append(all, lineFeatures("canal", d.Canals)...)
	all = append(all, lineFeatures("brook", d.Brooks)...)
	return append(all, lineFeatures("dyke", d.Dykes)...)
}

func (d *District) roadFeatures() []geo.Feature {
	var all []geo.Feature
	for _, r := range d.Roads {
		all = append(all, geo.Feature{Geometry: r.Path, Properties: []geo.Property{
			{Name: "name", Value: r.Name}, {Name: "class", Value: string(r.Class)}, {Name: "vehicles_per_day", Value: r.VehiclesPerDay}}})
	}
	return all
}

func (d *District) pondFeatures() []geo.Feature {
	var all []geo.Feature
	for _, p := range d.Ponds {
		all = append(all, geo.Feature{Geometry: p.Outline, Properties: []geo.Property{
			{Name: "id", Value: p.ID}, {Name: "kind", Value: p.Kind}, {Name: "area_m2", Value: p.AreaM2},
			{Name: "permanence", Value: string(p.Permanence)}, {Name: "fish", Value: string(p.Fish)},
			{Name: "shade_pct", Value: p.ShadePct}, {Name: "ph", Value: p.PH}}})
	}
	return all
}

func (d *District) yardFeatures() []geo.Feature {
	var all []geo.Feature
	for i, p := range d.Farmyards {
		all = append(all, geo.Feature{Geometry: p, Properties: []geo.Property{{Name: "id", Value: i + 1}}})
	}
	return all
}

// boundary is the edge of the grid, with a point every kilometre, since its
// sides are not straight in longitude and latitude.
func (d *District) boundary() orb.Polygon {
	b := d.Grid.Bound(layers.Window{Cols: Cols, Rows: Rows})
	corners := []orb.Point{b.Min, {b.Max[0], b.Min[1]}, b.Max, {b.Min[0], b.Max[1]}, b.Min}
	var ring orb.Ring
	for i := 1; i < len(corners); i++ {
		side := respaced(corners[i-1:i+1], 1000)
		ring = append(ring, side[:len(side)-1]...)
	}
	return orb.Polygon{append(ring, b.Min)}
}
