package main

import (
	"fmt"
	"math"

	"tussock/layers"
	"tussock/suitability/project"
)

// looks is how many cells a side of the area are looked at for a layer that
// misses it.
const looks = 9

// besideArea names the layers that are known in none of the cells that were
// looked at: a net of single cells over the whole area. Such a layer lies
// elsewhere (a wrong CRS is the usual reason) or holds nothing.
func besideArea(o *project.Opened) ([]string, error) {
	var missing []string
	for _, name := range o.Layers.Names() {
		l, err := o.Layers.Layer(name)
		if err != nil {
			return nil, err
		}
		if l.Kind == layers.Features {
			continue // features may be few; where there are none is an answer
		}
		known, err := knownSomewhere(o, name)
		if err != nil {
			return nil, err
		}
		if !known {
			missing = append(missing, fmt.Sprintf("layer %q is not known at any of %d places all over the area: does it lie there, in the CRS that it names?", name, looks*looks))
		}
	}
	return missing, nil
}

func knownSomewhere(o *project.Opened, layer string) (bool, error) {
	for i := range looks * looks {
		col := (o.Grid.Cols - 1) * (i % looks) / (looks - 1)
		row := (o.Grid.Rows - 1) * (i / looks) / (looks - 1)
		b, err := o.Layers.Read(layer, layers.Window{Col: col, Row: row, Cols: 1, Rows: 1})
		if err != nil {
			return false, err
		}
		if b.IsCodes() && b.CodeRow(row)[0] != layers.NoClass || !b.IsCodes() && !math.IsNaN(float64(b.ValueRow(row)[0])) {
			return true, nil
		}
	}
	return false, nil
}
