package layers

import (
	"math"
	"testing"
)

// elevationOf lays a small table of elevations at the grid's corner.
func elevationOf(cell float64, rows [][]float32) *memoryReader {
	m := newMemoryReader(cell)
	m.grid.Cols, m.grid.Rows = len(rows[0]), len(rows)
	b := NewValues(m.grid.Window())
	for row, line := range rows {
		copy(b.ValueRow(row), line)
	}
	m.addQuantity("elev", b)
	return m
}

func terrainAt(t *testing.T, m *memoryReader, what TerrainKind, col, row int) float64 {
	t.Helper()
	return float64(evalOf(t, Terrain{Layer: "elev", What: what}, m, Window{col, row, 1, 1}).Values[0])
}

// Horn's slope and aspect of two published windows, recomputed in full
// precision with numpy and gdaldem; the published slope, 75.25762, carries a
// truncated 180/π and the published aspect, 92.64, two decimals.
func TestTerrainPublished(t *testing.T) {
	for _, c := range readRasterChecks(t).Slope {
		if c.Z == nil {
			continue
		}
		m := elevationOf(c.Cell, c.Z)
		slope, aspect := terrainAt(t, m, Slope, 1, 1), terrainAt(t, m, Aspect, 1, 1)
		near(t, "slope", slope, c.Horn.Slope, 1e-5)
		near(t, "aspect", aspect, c.Horn.Aspect, 1e-5)
		near(t, "published slope", slope, c.Horn.PublishedSlope, 1e-4)
		near(t, "published aspect", aspect, c.Horn.PublishedAspect, 5e-3)
	}
}

func near(t *testing.T, what string, got float64, want *float64, tolerance float64) {
	t.Helper()
	if want != nil && math.Abs(got-*want) > tolerance {
		t.Errorf("%s %.6f, want %.6f", what, got, *want)
	}
}

// A plane has one slope and one aspect: z = 0.3x + 0.4y (y northwards) is
// atan 0.5 steep and faces 180 + atan(0.3/0.4) degrees.
func TestTerrainPlanes(t *testing.T) {
	for _, c := range []struct{ east, north, slope, aspect float64 }{
		{0.3, 0.4, 26.56505117707799, 216.86989764584402},
		{0, -1, 45, 0}, {-1, 0, 45, 90}, {0, 1, 45, 180}, {1, 0, 45, 270},
		{-0.5, -0.5, math.Atan(math.Sqrt(0.5)) * 180 / math.Pi, 45},
		{0, 0, 0, math.NaN()},
	} {
		rows := make([][]float32, 5)
		for row := range rows {
			for col := range 5 {
				rows[row] = append(rows[row], float32(512+10*(c.east*float64(col)-c.north*float64(row))))
			}
		}
		m := elevationOf(10, rows)
		slope, aspect := terrainAt(t, m, Slope, 2, 2), terrainAt(t, m, Aspect, 2, 2)
		if math.Abs(slope-c.slope) > 1e-4 || !sameNumber(float32(aspect), float32(c.aspect), 1e-4) {
			t.Errorf("plane %g, %g: slope %g aspect %g, want %g and %g", c.east, c.north, slope, aspect, c.slope, c.aspect)
		}
	}
}

// One unknown elevation of nine leaves the cell unknown, the centre's too,
// though no rise needs it.
func TestTerrainUnknown(t *testing.T) {
	latitude := 50.0
	for unknown := range 9 {
		rows := [][]float32{{1, 2, 4}, {3, 5, 8}, {2, 7, 9}}
		rows[unknown/3][unknown%3] = float32(math.NaN())
		m := elevationOf(1, rows)
		for what := Slope; what <= Roughness; what++ {
			got := evalOf(t, Terrain{Layer: "elev", What: what, Latitude: &latitude}, m, Window{1, 1, 1, 1}).Values[0]
			if got == got {
				t.Errorf("%s is %g with cell %d unknown", what, got, unknown)
			}
		}
	}
}

// equation2 is McCune and Keon's (2002) equation 2 on the logarithmic scale,
// with angles in degrees and no folding.
func equation2(latitude, slope, aspect float64) float64 {
	l, s, a := latitude*math.Pi/180, slope*math.Pi/180, aspect*math.Pi/180
	return -1.236 + 1.350*math.Cos(l)*math.Cos(s) - 1.376*math.Cos(a)*math.Sin(s)*math.Sin(l) -
		0.331*math.Sin(l)*math.Sin(s) + 0.375*math.Sin(a)*math.Sin(s)
}

// rise is the rise eastwards and northwards of a slope that faces an aspect.
func rise(slope, aspect float64) (east, north float64) {
	steep := math.Tan(slope * math.Pi / 180)
	return -steep * math.Sin(aspect*math.Pi/180), -steep * math.Cos(aspect*math.Pi/180)
}

// The three values that McCune and Keon (2002, table 2) print for equation 2 at
// latitude 40, as the documentation of the R package ecole quotes them. They are
// for radiation, with aspect from north; the heat load folds aspect about 225
// degrees, so that its 45 degrees stand for their 0 and its 225 for their 180.
func TestHeatLoadPublished(t *testing.T) {
	for _, c := range []struct{ slope, aspect, facing, ln float64 }{
		{30, 0, 45, -0.889}, {30, 180, 225, -0.005}, {0, 0, 45, -0.202},
	} {
		if got := equation2(40, c.slope, c.aspect); math.Abs(got-c.ln) > 5e-4 {
			t.Errorf("equation 2 at slope %g aspect %g: %.4f, printed %.3f", c.slope, c.aspect, got, c.ln)
		}
		east, north := rise(c.slope, c.facing)
		if got := math.Log(heatLoad(east, north, 40)); math.Abs(got-c.ln) > 5e-4 {
			t.Errorf("slope %g facing %g: %.4f, printed %.3f", c.slope, c.facing, got, c.ln)
		}
	}
}

// Angles and vectors say the same, on both hemispheres, and slopes beyond 60
// degrees count as 60.
func TestHeatLoadFolding(t *testing.T) {
	rng := measureRand(t)
	for range 2000 {
		latitude, slope, aspect := rng.Float64()*120-60, rng.Float64()*80, rng.Float64()*360
		line := 225.0
		if latitude < 0 {
			line = 315
		}
		folded := math.Abs(180 - math.Abs(aspect-line))
		want := math.Exp(equation2(math.Abs(latitude), min(slope, 60), folded))
		east, north := rise(slope, aspect)
		if got := heatLoad(east, north, latitude); math.Abs(got/want-1) > 1e-9 {
			t.Fatalf("latitude %g slope %g aspect %g: %g, want %g", latitude, slope, aspect, got, want)
		}
	}
	if got := heatLoad(0, 0, 61); !math.IsNaN(got) {
		t.Errorf("beyond latitude 60: %g", got)
	}
}

// The latitude of a cell comes from its CRS: exact at the nodes, and between
// them within 1e-6 degrees of an exact transform of the centre.
func TestHeatLoadLatitude(t *testing.T) {
	crs, err := ParseCRS("EPSG:32617")
	if err != nil {
		t.Fatal(err)
	}
	g := Grid{CRS: crs, West: 500000, North: 4_649_776, Cell: 25, Cols: 500, Rows: 400}
	w := Window{Col: -70, Row: -3, Cols: 200, Rows: 150}
	lat, err := newLatitudes(g, w)
	if err != nil {
		t.Fatal(err)
	}
	to, err := NewTransform(crs, WGS84())
	if err != nil {
		t.Fatal(err)
	}
	for _, at := range [][2]int{{-70, -3}, {-64, 0}, {31, 33}, {129, 146}} {
		p := g.Centre(at[0], at[1])
		xs, ys := []float64{p[0]}, []float64{p[1]}
		if err := to.Points(xs, ys); err != nil {
			t.Fatal(err)
		}
		if got := lat.at(at[0], at[1]); math.Abs(got-ys[0]) > 1e-6 {
			t.Errorf("cell %v: latitude %.9f, want %.9f", at, got, ys[0])
		}
	}
	m := randomReader(measureRand(t), 25)
	m.grid.CRS, m.grid.West, m.grid.North = crs, g.West, g.North
	heat := Terrain{Layer: "elev", What: HeatLoad}
	whole := evalOf(t, heat, m, m.grid.Window())
	part := Window{Col: 17, Row: 5, Cols: 9, Rows: 20}
	if !sameBits(evalOf(t, heat, m, part), whole.Part(part)) {
		t.Error("heat load depends on the window")
	}
}
