package layers

import (
	"math"
	"slices"
	"testing"
)

// around calls a function for every cell of the disc around a cell, by the
// definition of the disc.
func around(col, row int, metres, cell float64, f func(col, row int)) {
	n := int(metres/cell) + 1
	for dy := -n; dy <= n; dy++ {
		for dx := -n; dx <= n; dx++ {
			if math.Hypot(float64(dx), float64(dy))*cell <= metres {
				f(col+dx, row+dy)
			}
		}
	}
}

// bruteForce reckons a measure for one cell straight from its definition.
type bruteForce struct {
	name      string
	measure   Measure
	tolerance float64
	cell      func(m *memoryReader, col, row int) float64
}

func bruteForces() []bruteForce {
	weights := map[string]float64{"heath": 1, "mire": 0.4, "rock": 0.125}
	many := map[string]float64{"heath": 1, "mire": 0.4, "rock": 0.125, "wood": 1.0 / 3, "water": 0.9}
	return []bruteForce{
		{"share", Share{Layer: "cover", Radius: 45, Weights: weights}, 1e-6, bruteShare(45, weights)},
		{"share of many weights", Share{Layer: "cover", Radius: 72, Weights: many}, 1e-6, bruteShare(72, many)},
		{"share of features", Share{Layer: "roads", Radius: 61}, 1e-6, bruteFeatures(61, BurnTouch, 1)},
		{"mean", Mean{Layer: "rough", Radius: 52}, 1e-6, bruteMean("rough", 52)},
		{"mean of elevation", Mean{Layer: "elev", Radius: 52}, 1e-6, bruteMean("elev", 52)},
		{"gaussian mean", Mean{Layer: "rough", Radius: 48, Kernel: Gaussian}, 1e-6, bruteGaussian("rough", 48)},
		{"distance", Distance{Layer: "cover", Classes: []string{"water", "13"}, Limit: 33}, 1e-7, bruteDistance(33)},
		{"distance to features", Distance{Layer: "roads", Limit: 77}, 1e-7, bruteRoads(77, func(d float64, _ string) float64 { return min(d, 77) }, math.Min, 77)},
		{"count", Density{Layer: "roads", Radius: 66}, 1e-6, bruteFeatures(66, BurnCount, 1e4)},
		{"length", Density{Layer: "roads", Radius: 66, By: ByLength}, 1e-6, bruteFeatures(66, BurnLength, 10)},
		{"edge", Edge{Layer: "cover", A: []string{"heath"}, B: []string{"wood", "mire"}, Radius: 47}, 1e-6, bruteEdge(47)},
		{"road pressure", RoadPressure{Layer: "roads", Field: "vehicles", C: 2e-4, Effect: 80}, 1e-6, bruteRoads(80, brutePressure, math.Max, 0)},
		{"roughness", Terrain{Layer: "elev", What: Roughness}, 0, bruteRoughness},
	}
}

func bruteShare(metres float64, weights map[string]float64) func(*memoryReader, int, int) float64 {
	return func(m *memoryReader, col, row int) float64 {
		sum, known, all := 0.0, 0.0, 0.0
		b, layer := m.blocks["cover"], m.layers["cover"]
		around(col, row, metres, m.grid.Cell, func(c, r int) {
			all++
			if b.Window.Has(c, r) && b.Code(c, r) != NoClass {
				known++
				sum += weights[layer.Classes[b.Code(c, r)].Name]
			}
		})
		return knownPart(sum/known, known, all)
	}
}

// knownPart is the value where at least 60 % are known.
func knownPart(v, known, all float64) float64 {
	if known < 0.6*all {
		return math.NaN()
	}
	return v
}

func bruteMean(layer string, metres float64) func(*memoryReader, int, int) float64 {
	return func(m *memoryReader, col, row int) float64 {
		sum, known, all := 0.0, 0.0, 0.0
		b := m.blocks[layer]
		around(col, row, metres, m.grid.Cell, func(c, r int) {
			all++
			if b.Window.Has(c, r) && b.Value(c, r) == b.Value(c, r) {
				known++
				sum += float64(b.Value(c, r))
			}
		})
		return knownPart(sum/known, known, all)
	}
}

func bruteGaussian(layer string, metres float64) func(*memoryReader, int, int) float64 {
	return func(m *memoryReader, col, row int) float64 {
		sum, known, all := 0.0, 0.0, 0.0
		b, n := m.blocks[layer], int(metres/m.grid.Cell)
		for dy := -n; dy <= n; dy++ {
			for dx := -n; dx <= n; dx++ {
				d := math.Hypot(float64(dx), float64(dy)) * m.grid.Cell / (metres / 2)
				weight := math.Exp(-d * d / 2)
				all += weight
				if c, r := col+dx, row+dy; b.Window.Has(c, r) && b.Value(c, r) == b.Value(c, r) {
					known += weight
					sum += weight * float64(b.Value(c, r))
				}
			}
		}
		return knownPart(sum/known, known, all)
	}
}

func bruteDistance(limit float64) func(*memoryReader, int, int) float64 {
	return func(m *memoryReader, col, row int) float64 {
		b := m.blocks["cover"]
		if !b.Window.Has(col, row) || b.Code(col, row) == NoClass {
			return math.NaN()
		}
		least := limit
		for i, code := range b.Codes {
			if code == 2 || code == 3 { // water, and wood by its number 13
				dx, dy := b.Window.Col+i%b.Window.Cols-col, b.Window.Row+i/b.Window.Cols-row
				least = min(least, math.Hypot(float64(dx), float64(dy))*m.grid.Cell)
			}
		}
		return least
	}
}

func bruteRoads(reach float64, of func(metres float64, traffic string) float64, pick func(a, b float64) float64, start float64) func(*memoryReader, int, int) float64 {
	return func(m *memoryReader, col, row int) float64 {
		v := start
		for _, f := range m.features["roads"] {
			d := math.Hypot(float64(f.col-col), float64(f.row-row)) * m.grid.Cell
			v = pick(v, of(d, f.fields["vehicles"]))
		}
		return v
	}
}

func brutePressure(metres float64, traffic string) float64 {
	v := map[string]float64{"0": 0, "300": 300, "300.0": 300, "12000": 12000}[traffic]
	return (1 - math.Exp(-2e-4*v)) * max(0, 1-metres/80)
}

// bruteFeatures divides by cells and by the area of one cell of 10 m: 1e4 cells
// are a km², and metres per cell are tens of km per km².
func bruteFeatures(metres float64, kind BurnKind, factor float64) func(*memoryReader, int, int) float64 {
	return func(m *memoryReader, col, row int) float64 {
		sum, all := 0.0, 0.0
		around(col, row, metres, m.grid.Cell, func(c, r int) {
			all++
			b, _ := m.Burn("roads", Burn{Kind: kind}, Window{Col: c, Row: r, Cols: 1, Rows: 1})
			sum += float64(b.Values[0])
		})
		return sum / all * factor
	}
}

func bruteEdge(metres float64) func(*memoryReader, int, int) float64 {
	return func(m *memoryReader, col, row int) float64 {
		b := m.blocks["cover"]
		side := func(c, r int) int {
			if !b.Window.Has(c, r) {
				return 0
			}
			return map[uint8]int{0: 1, 1: 2, 3: 2}[b.Code(c, r)]
		}
		inside := map[[2]int]bool{}
		known := 0.0
		around(col, row, metres, m.grid.Cell, func(c, r int) {
			inside[[2]int{c, r}] = true
			if b.Window.Has(c, r) && b.Code(c, r) != NoClass {
				known++
			}
		})
		sides := 0.0
		for at := range inside {
			for _, next := range [][2]int{{at[0] + 1, at[1]}, {at[0], at[1] + 1}} {
				if inside[next] && side(at[0], at[1])+side(next[0], next[1]) == 3 && side(at[0], at[1]) != 0 && side(next[0], next[1]) != 0 {
					sides++
				}
			}
		}
		cell := m.grid.Cell
		return knownPart(sides*cell/(known*cell*cell/1e4), known, float64(len(inside)))
	}
}

func bruteRoughness(m *memoryReader, col, row int) float64 {
	b := m.blocks["elev"]
	least, most := math.Inf(1), math.Inf(-1)
	for dy := -1; dy <= 1; dy++ {
		for dx := -1; dx <= 1; dx++ {
			if !b.Window.Has(col+dx, row+dy) {
				return math.NaN()
			}
			v := float64(b.Value(col+dx, row+dy))
			least, most = math.Min(least, v), math.Max(most, v)
		}
	}
	return most - least
}

// Every measure against its definition, over windows that stick out of the
// grid and of the data.
func TestMeasuresBruteForce(t *testing.T) {
	t.Parallel()
	for _, brute := range slices.Concat(bruteForces(), barrierForces(), targetForces()) {
		t.Run(brute.name, func(t *testing.T) {
			rng := measureRand(t)
			m := randomReader(rng, 10)
			w := Window{Col: -9 + rng.IntN(4), Row: -8 + rng.IntN(4), Cols: 40, Rows: 30}
			got := evalOf(t, brute.measure, m, w)
			unknown := 0
			for row := w.Row; row < w.Bottom(); row++ {
				for col := w.Col; col < w.Right(); col++ {
					want := brute.cell(m, col, row)
					if math.IsNaN(want) {
						unknown++
					}
					if !sameNumber(got.Value(col, row), float32(want), brute.tolerance) {
						t.Fatalf("column %d row %d: %g, want %g", col, row, got.Value(col, row), want)
					}
				}
			}
			t.Logf("%d of %d cells unknown", unknown, w.Cells())
		})
	}
}
