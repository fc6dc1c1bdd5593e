package land

import (
	"math"
	"testing"

	"tussock/layers"
)

// elevations is a reader with one layer, the district's elevation.
type elevations struct {
	layers.Reader
	d *District
}

func (e elevations) Grid() layers.Grid { return e.d.Grid }

func (e elevations) Layer(name string) (*layers.Layer, error) {
	return &layers.Layer{Name: name, Kind: layers.Quantity, Unit: "m"}, nil
}

func (e elevations) Read(_ string, w layers.Window) (layers.Block, error) {
	b := layers.NewValues(w)
	for row := w.Row; row < w.Bottom(); row++ {
		to := b.ValueRow(row)
		for i := range to {
			if col := w.Col + i; col >= 0 && row >= 0 && col < Cols && row < Rows {
				to[i] = e.d.Elevation[row*Cols+col]
			}
		}
	}
	return b, nil
}

// The measure reckons heat load without an angle but the latitude; here it is
// done with them. Both are equation 2 of McCune and Keon (2002).
func TestHeatLoadAgainstTheMeasure(t *testing.T) {
	both(t, func(t *testing.T, d *District) {
		at := latitude
		w := layers.Window{Col: 1, Row: 1, Cols: Cols - 2, Rows: Rows - 2}
		b, err := layers.Terrain{Layer: "elevation", What: layers.HeatLoad, Latitude: &at}.Eval(elevations{d: d}, w)
		if err != nil {
			t.Fatal(err)
		}
		for row := w.Row; row < w.Bottom(); row++ {
			for i, want := range b.ValueRow(row) {
				if got := d.HeatLoad[d.Index(w.Col+i, row)]; !(math.Abs(float64(got-want)) < 2e-6) {
					t.Fatalf("cell %d, %d: %.7f, want %.7f", w.Col+i, row, got, want)
				}
			}
		}
	})
}

// On level ground nothing but the latitude counts, and a slope that faces
// south-west is warmer than the same slope facing north-east.
func TestHeatLoadBySlope(t *testing.T) {
	level := math.Exp(-1.236 + 1.350*math.Cos(latitude*math.Pi/180))
	if got := heatLoad(0, 0); math.Abs(got-level) > 1e-12 {
		t.Errorf("level: %.6f, want %.6f", got, level)
	}
	warm, cold := heatLoad(0.3, 0.3), heatLoad(-0.3, -0.3) // ground that rises to the north-east faces south-west
	if !(warm > level && level > cold) {
		t.Errorf("south-west %.3f, level %.3f, north-east %.3f", warm, level, cold)
	}
}
