package evidence

import (
	"encoding/binary"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"

	"github.com/paulmach/orb"

	"tussock/layers"
	"tussock/suitability"
)

// A made-up ground for tests: numbers from 0 to 1 on cells of 100 m, written as
// plain floats with a text header (ENVI), which any reader knows.

func landGrid(t testing.TB, cols, rows int) layers.Grid {
	t.Helper()
	crs, err := layers.ParseCRS("EPSG:32631")
	if err != nil {
		t.Fatal(err)
	}
	return layers.Grid{CRS: crs, West: 500000, North: 6210000, Cell: 100, Cols: cols, Rows: rows}
}

func landJob(t testing.TB, g layers.Grid, maps map[string][]float32) *suitability.Job {
	t.Helper()
	var opened []*layers.Layer
	folder := t.TempDir()
	for name, cells := range maps {
		path := filepath.Join(folder, name+".img")
		writeCells(t, path, g, cells)
		l, err := layers.OpenLayer(layers.LayerSpec{Name: name, Kind: layers.Quantity, Source: path, Resample: layers.Nearest}, g)
		if err != nil {
			t.Fatal(err)
		}
		opened = append(opened, l)
	}
	set := layers.NewSet(g, opened...)
	t.Cleanup(func() { set.Close() })
	return &suitability.Job{Grid: g, Layers: set, Audience: layers.Staff, Classes: suitability.DefaultClasses()}
}

func writeCells(t testing.TB, path string, g layers.Grid, cells []float32) {
	t.Helper()
	header := fmt.Sprintf("ENVI\nsamples = %d\nlines = %d\nbands = 1\nheader offset = 0\nfile type = ENVI Standard\ndata type = 4\n"+
		"interleave = bsq\nbyte order = 0\nmap info = {UTM, 1, 1, %.0f, %.0f, %g, %g, 31, North, WGS-84, units=Meters}\ndata ignore value = -9999\n",
		g.Cols, g.Rows, g.West, g.North, g.Cell, g.Cell)
	f, err := os.Create(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if err := binary.Write(f, binary.LittleEndian, cells); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path[:len(path)-3]+"hdr", []byte(header), 0o666); err != nil {
		t.Fatal(err)
	}
}

// hills are smooth random numbers from 0 to 1, alike within some cells.
func hills(random *rand.Rand, g layers.Grid, width float64) []float32 {
	type wave struct{ x, y, shift float64 }
	waves := make([]wave, 24)
	for i := range waves {
		angle, length := 2*math.Pi*random.Float64(), width*(0.5+2*random.Float64())
		waves[i] = wave{math.Cos(angle) / length, math.Sin(angle) / length, 2 * math.Pi * random.Float64()}
	}
	cells := make([]float32, g.Cols*g.Rows)
	for i := range cells {
		sum := 0.0
		for _, w := range waves {
			sum += math.Sin(2*math.Pi*(w.x*float64(i%g.Cols)+w.y*float64(i/g.Cols)) + w.shift)
		}
		cells[i] = float32(0.5 + 0.5*math.Erf(sum/math.Sqrt(float64(len(waves))))) // about even from 0 to 1
	}
	return cells
}

// likes is a species whose suitability is the layer's own number, and a tenth of
// it what is known near by, where points are given.
func likes(layer string, points ...layers.WeightedPoint) suitability.Subject {
	p := &suitability.Profile{ID: "newt", Scientific: "Triturus nusquam", Rule: suitability.Rule{Kind: suitability.Arithmetic}, Requisites: []suitability.Requisite{{
		ID: "all", Weight: 1, Criteria: []suitability.Criterion{
			{ID: "ground", Weight: 1, Measure: layers.Value{Layer: layer}, Rating: bends(0, 0, 1, 1)},
		}}}}
	if len(points) > 0 {
		p.Requisites[0].Criteria[0].Weight = 0.5
		p.Requisites[0].Criteria = append(p.Requisites[0].Criteria, suitability.Criterion{
			ID: "known", Weight: 0.5, Measure: layers.PointKernel{Of: "newt", Points: points, Radius: 1500, Half: 1}, Rating: bends(0, 0, 1, 1),
		})
	}
	return suitability.Subject{Profile: p}
}

// scattered are places on the ground, each cell as likely as its number to the
// power says; a power of 0 takes no notice of it. They are known to 150 m.
func scattered(random *rand.Rand, g layers.Grid, cells []float32, power float64, n int) (places []Place) {
	for len(places) < n {
		i := random.IntN(len(cells))
		if random.Float64() < math.Pow(float64(cells[i]), power) {
			c := g.Centre(i%g.Cols, i/g.Cols)
			at := orb.Point{c[0] + 90*(random.Float64()-0.5), c[1] + 90*(random.Float64()-0.5)}
			places = append(places, Place{At: at, Radius: 150})
		}
	}
	return places
}

func pointsOf(places []Place) (points []layers.WeightedPoint) {
	for _, p := range places {
		points = append(points, layers.WeightedPoint{At: p.At, Weight: 1})
	}
	return points
}

// box is a range polygon of cells from a column and row to others.
func box(t testing.TB, g layers.Grid, edge float64, col, row, right, bottom float64) *suitability.RangeMap {
	t.Helper()
	at := func(c, r float64) orb.Point { return orb.Point{g.West + c*g.Cell, g.North - r*g.Cell} }
	ring := orb.Ring{at(col, row), at(col, bottom), at(right, bottom), at(right, row), at(col, row)}
	m, err := suitability.NewRangeMap([]suitability.RangePolygon{{Species: "newt", Status: suitability.StatusDocumented, Geometry: orb.MultiPolygon{{ring}}}}, g, edge)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// bends is the curve through pairs of a measure and its rating.
func bends(pairs ...float64) (c suitability.Curve) {
	for i := 0; i < len(pairs); i += 2 {
		c = append(c, suitability.Knot{X: pairs[i], Y: pairs[i+1]})
	}
	return c
}
