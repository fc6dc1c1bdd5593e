package layers

import (
	"math"
	"slices"
	"testing"
)

// wallsFrom is whether a cell is on a wall with at least that traffic.
func wallsFrom(m *memoryReader, names ...string) func(col, row int) bool {
	on := map[[2]int]bool{}
	for _, f := range m.features["walls"] {
		if slices.Contains(names, f.fields["vehicles"]) {
			on[[2]int{f.col, f.row}] = true
		}
	}
	return func(col, row int) bool { return on[[2]int{col, row}] }
}

// bruteFlood fills cell by cell, as the barrier is defined.
func bruteFlood(col, row int, wall, inside func(col, row int) bool) map[[2]int]bool {
	reached := map[[2]int]bool{{col, row}: true}
	for queue := [][2]int{{col, row}}; len(queue) > 0; queue = queue[1:] {
		c, r := queue[0][0], queue[0][1]
		for _, next := range [][2]int{{c + 1, r}, {c - 1, r}, {c, r + 1}, {c, r - 1}} {
			if !reached[next] && inside(next[0], next[1]) && !wall(next[0], next[1]) {
				reached[next] = true
				queue = append(queue, next)
			}
		}
	}
	return reached
}

// floodInDisc fills the disc around a cell.
func floodInDisc(m *memoryReader, col, row int, metres float64) map[[2]int]bool {
	return bruteFlood(col, row, wallsFrom(m, "5000", "20000"), func(c, r int) bool {
		return math.Hypot(float64(c-col), float64(r-row))*m.grid.Cell <= metres
	})
}

func barrierForces() []bruteForce {
	weights := map[string]float64{"heath": 1, "mire": 0.4, "rock": 0.125}
	many := map[string]float64{"heath": 1, "mire": 0.4, "rock": 0.125, "wood": 1.0 / 3, "water": 0.9}
	b := Barrier{Layer: "walls", From: 1000}
	return []bruteForce{
		{"share behind barriers", Share{Layer: "cover", Radius: 45, Weights: weights, Barrier: b}, 1e-6, bruteShareBehind(45, weights)},
		{"share of many weights behind barriers", Share{Layer: "cover", Radius: 72, Weights: many, Barrier: b}, 1e-6, bruteShareBehind(72, many)},
		{"mean behind barriers", Mean{Layer: "rough", Radius: 52, Barrier: b}, 1e-6, bruteMeanBehind("rough", 52)},
		{"mean of elevation behind barriers", Mean{Layer: "elev", Radius: 52, Barrier: b}, 1e-6, bruteMeanBehind("elev", 52)},
		{"gaussian mean behind barriers", Mean{Layer: "rough", Radius: 48, Kernel: Gaussian, Barrier: b}, 1e-6, bruteGaussianBehind("rough", 48)},
		{"count behind barriers", Density{Layer: "roads", Radius: 66, Barrier: b}, 1e-6, bruteFeaturesBehind(66, BurnCount, 1e4)},
		{"length behind barriers", Density{Layer: "roads", Radius: 66, By: ByLength, Barrier: b}, 1e-6, bruteFeaturesBehind(66, BurnLength, 10)},
	}
}

func bruteShareBehind(metres float64, weights map[string]float64) func(*memoryReader, int, int) float64 {
	return func(m *memoryReader, col, row int) float64 {
		reached := floodInDisc(m, col, row, metres)
		sum, known, all := 0.0, 0.0, 0.0
		b, layer := m.blocks["cover"], m.layers["cover"]
		around(col, row, metres, m.grid.Cell, func(c, r int) {
			all++
			if b.Window.Has(c, r) && b.Code(c, r) != NoClass {
				known++
				if reached[[2]int{c, r}] {
					sum += weights[layer.Classes[b.Code(c, r)].Name]
				}
			}
		})
		return knownPart(sum/known, known, all)
	}
}

func bruteMeanBehind(layer string, metres float64) func(*memoryReader, int, int) float64 {
	return func(m *memoryReader, col, row int) float64 {
		sum, known, all := 0.0, 0.0, 0.0
		b := m.blocks[layer]
		for at := range floodInDisc(m, col, row, metres) {
			all++
			if c, r := at[0], at[1]; b.Window.Has(c, r) && b.Value(c, r) == b.Value(c, r) {
				known++
				sum += float64(b.Value(c, r))
			}
		}
		return knownPart(sum/known, known, all)
	}
}

func bruteGaussianBehind(layer string, metres float64) func(*memoryReader, int, int) float64 {
	return func(m *memoryReader, col, row int) float64 {
		sum, known, all := 0.0, 0.0, 0.0
		b, n := m.blocks[layer], int(metres/m.grid.Cell)
		reached := bruteFlood(col, row, wallsFrom(m, "5000", "20000"), func(c, r int) bool {
			return max(c-col, col-c, r-row, row-r) <= n
		})
		for at := range reached {
			d := math.Hypot(float64(at[0]-col), float64(at[1]-row)) * m.grid.Cell / (metres / 2)
			weight := math.Exp(-d * d / 2)
			all += weight
			if c, r := at[0], at[1]; b.Window.Has(c, r) && b.Value(c, r) == b.Value(c, r) {
				known += weight
				sum += weight * float64(b.Value(c, r))
			}
		}
		return knownPart(sum/known, known, all)
	}
}

func bruteFeaturesBehind(metres float64, kind BurnKind, factor float64) func(*memoryReader, int, int) float64 {
	return func(m *memoryReader, col, row int) float64 {
		reached := floodInDisc(m, col, row, metres)
		sum, all := 0.0, 0.0
		around(col, row, metres, m.grid.Cell, func(c, r int) {
			all++
			for _, f := range m.features["roads"] {
				switch {
				case f.col != c || f.row != r || !reached[[2]int{c, r}]:
				case kind == BurnCount:
					sum++
				default:
					sum += f.metres
				}
			}
		})
		return sum / all * factor
	}
}

// behind are the measures that a barrier can cut.
func behind(b Barrier) []Measure {
	return []Measure{
		Share{Layer: "cover", Radius: 45, Weights: map[string]float64{"heath": 1, "mire": 0.4}, Barrier: b},
		Mean{Layer: "rough", Radius: 52, Barrier: b},
		Mean{Layer: "elev", Radius: 52, Barrier: b},
		Mean{Layer: "elev", Radius: 40, Kernel: Gaussian, Barrier: b},
		Density{Layer: "roads", Radius: 66, Barrier: b},
		NearbyBest{Layer: "ponds", Score: testScore("score"), Fade: testFade(60), Barrier: b},
	}
}

// Where no barrier cell lies in a cell's disc, and where no road is busy enough,
// the bytes are those without a barrier.
func TestBarrierFarAwayChangesNothing(t *testing.T) {
	rng := measureRand(t)
	m := randomReader(rng, 10)
	m.addPonds(t, rng)
	w := m.grid.Window().Grow(3)
	wall := wallsFrom(m, "5000", "20000")
	quiet, cut := behind(Barrier{"walls", 20001}), behind(Barrier{"walls", 5000})
	for k, free := range behind(Barrier{}) {
		want := evalOf(t, free, m, w)
		if !sameBits(evalOf(t, quiet[k], m, w), want) {
			t.Errorf("%s: a barrier without cells changes it", free.Key())
		}
		got, same, differ := evalOf(t, cut[k], m, w), 0, 0
		for row := w.Row; row < w.Bottom(); row++ {
			for col := w.Col; col < w.Right(); col++ {
				near := false
				around(col, row, free.Reach()*math.Sqrt2, 10, func(c, r int) { near = near || wall(c, r) })
				a, b := math.Float32bits(got.Value(col, row)), math.Float32bits(want.Value(col, row))
				if !near && a != b {
					t.Fatalf("%s: column %d row %d differs far from any barrier", free.Key(), col, row)
				}
				if a == b {
					same++
				} else {
					differ++
				}
			}
		}
		t.Logf("%s: %d cells alike, %d not", free.Key(), same, differ)
	}
}

// wallReader has one class, and an elevation of the column's number, on cells of
// 10 m; walls stand where is says.
func wallReader(is func(col, row int) bool) *memoryReader {
	m := newMemoryReader(10)
	w := m.grid.Window().Grow(10)
	codes, values := NewCodes(w), NewValues(w)
	for i := range codes.Codes {
		codes.Codes[i], values.Values[i] = 0, float32(w.Col+i%w.Cols)
	}
	m.addClasses("cover", codes, "heath")
	m.addQuantity("elev", values)
	var cells []memoryFeature
	for i := range codes.Codes {
		if col, row := w.Col+i%w.Cols, w.Row+i/w.Cols; is(col, row) {
			cells = append(cells, memoryFeature{col: col, row: row, fields: map[string]string{"vehicles": "9000"}})
		}
	}
	m.addFeatures("walls", cells...)
	m.layers["walls"].TrafficField = "vehicles"
	return m
}

// The disc of four cells' radius has columns of 1, 5, 7, 7, 9, 7, 7, 5 and 1
// cells, 49 in all; what is left of it is counted by hand.
func TestBarrierByHand(t *testing.T) {
	upright := func(gaps ...int) func(col, row int) bool {
		return func(col, row int) bool { return col == 21 && !slices.Contains(gaps, row) }
	}
	ring := func(col, row int) bool { return max(col-20, 20-col, row-15, 15-row) == 1 }
	for _, c := range []struct {
		name      string
		is        func(col, row int) bool
		col       int
		reached   int
		elevation float64 // the mean of the columns' numbers
	}{
		{"no wall", func(int, int) bool { return false }, 20, 49, 20},
		{"a wall beside the centre: half the disc and the centre's column", upright(), 20, 1 + 5 + 7 + 7 + 9, 20 - (7.0+14+15+4)/29},
		{"a centre on the wall: all but the wall's other eight cells", upright(), 21, 49 - 8, 21},
		{"a wall at the rim hides the one cell it stands on", upright(), 17, 48, 17 - 4.0/48},
		{"a gap inside the disc", upright(18), 20, 29 + 1 + 7 + 5 + 1, 20 + (-40.0+1+14+15+4)/43},
		{"a gap just beyond the rim", upright(19), 20, 29, 20 - 40.0/29},
		{"shut in", ring, 20, 1, 20},
	} {
		m := wallReader(c.is)
		b, w := Barrier{"walls", 9000}, Window{Col: c.col, Row: 15, Cols: 1, Rows: 1}
		share := evalOf(t, Share{Layer: "cover", Radius: 40, Weights: map[string]float64{"heath": 1}, Barrier: b}, m, w)
		if want := float32(float64(c.reached) / 49); share.Values[0] != want {
			t.Errorf("%s: share %g, want %d of 49 cells", c.name, share.Values[0], c.reached)
		}
		mean := evalOf(t, Mean{Layer: "elev", Radius: 40, Barrier: b}, m, w)
		if !sameNumber(mean.Values[0], float32(c.elevation), 1e-6) {
			t.Errorf("%s: mean %g, want %g", c.name, mean.Values[0], c.elevation)
		}
	}
}

// Two cells that meet at a corner stop a flood, as those of a slanting road do
// that runs through the corner.
func TestBarrierSlantingDoesNotLeak(t *testing.T) {
	m := wallReader(func(col, row int) bool { return col-20 == row-15+1 })
	w := Window{Col: 20, Row: 15, Cols: 1, Rows: 1}
	got := evalOf(t, Share{Layer: "cover", Radius: 40, Weights: map[string]float64{"heath": 1}, Barrier: Barrier{"walls", 1}}, m, w)
	// The wall runs along dx = dy + 1; the centre's side is dx ≤ dy, all of which
	// hangs together.
	below := 0
	around(20, 15, 40, 10, func(c, r int) {
		if c-20 <= r-15 {
			below++
		}
	})
	if want := float32(float64(below) / 49); got.Values[0] != want {
		t.Errorf("%g, want %d of 49", got.Values[0], below)
	}
}

// A stronger barrier never lets more through, and nothing behind one can be seen
// that cannot be seen without it.
func TestBarrierOnlyTakesAway(t *testing.T) {
	rng := measureRand(t)
	m := randomReader(rng, 10)
	m.addPonds(t, rng)
	w := m.grid.Window()
	open, weak, strong := behind(Barrier{}), behind(Barrier{"walls", 20000}), behind(Barrier{"walls", 0})
	for _, k := range []int{0, 4, 5} { // the means may go either way
		free, some, none := evalOf(t, open[k], m, w), evalOf(t, weak[k], m, w), evalOf(t, strong[k], m, w)
		for i := range free.Values {
			if some.Values[i] > free.Values[i] || none.Values[i] > some.Values[i] {
				t.Fatalf("%s at cell %d: %g open, %g behind some, %g behind all", open[k].Key(), i, free.Values[i], some.Values[i], none.Values[i])
			}
		}
	}
}
