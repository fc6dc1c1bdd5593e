package land

import (
	"tussock/layers"
)

// New makes the district of a seed.
func New(seed uint64) *District {
	d := empty(seed)
	for i := range d.Cover {
		d.Elevation[i] = 50
		d.HeatLoad[i] = 0.6
		d.Cover[i], d.Soil[i] = Arable, Loam
		if i%Cols < Cols/3 {
			d.Cover[i], d.Soil[i] = DryHeath, Sand
		}
	}
	return d
}

func empty(seed uint64) *District {
	crs, err := layers.ParseCRS("EPSG:32631")
	if err != nil {
		panic(err) // the code is a constant
	}
	const n = Cols * Rows
	return &District{
		Seed:      seed,
		Grid:      layers.Grid{CRS: crs, West: west, North: north, Cell: Cell, Cols: Cols, Rows: Rows},
		Elevation: make([]float32, n), HeatLoad: make([]float32, n), Canopy: make([]float32, n),
		Cover: make([]Cover, n), Soil: make([]Soil, n),
	}
}
