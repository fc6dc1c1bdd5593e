package layers

import (
	"encoding/json"
	"math"
	"os"
	"testing"
)

// rasterChecks are worked examples; see the README beside the file.
type rasterChecks struct {
	Scipy struct {
		Input, Squared [][]int
	} `json:"edt_scipy_doc"`
	Three struct {
		Zeros   [][2]int `json:"zeros_rc"`
		Squared [][]int
	} `json:"edt_7x9"`
	Slope []struct {
		Z    [][]float32
		Cell float64
		Horn struct {
			Slope           *float64 `json:"slope_deg"`
			Aspect          *float64
			PublishedSlope  *float64 `json:"published_deg"`
			PublishedAspect *float64 `json:"published_aspect"`
		}
	}
}

func readRasterChecks(t *testing.T) (checks rasterChecks) {
	t.Helper()
	text, err := os.ReadFile("../testdata/references/raster_checks.json")
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(text, &checks); err != nil {
		t.Fatal(err)
	}
	return checks
}

// membersAt is a layer of one class at some cells and another elsewhere.
func membersAt(cols, rows int, is func(col, row int) bool) *memoryReader {
	m := newMemoryReader(1)
	m.grid.Cols, m.grid.Rows = cols, rows
	b := NewCodes(m.grid.Window())
	for i := range b.Codes {
		b.Codes[i] = 0
		if is(i%cols, i/cols) {
			b.Codes[i] = 1
		}
	}
	m.addClasses("cover", b, "land", "pond")
	return m
}

func wantSquares(t *testing.T, m *memoryReader, squared [][]int) {
	t.Helper()
	got := evalOf(t, Distance{Layer: "cover", Classes: []string{"pond"}, Limit: 100}, m, m.grid.Window())
	for row, line := range squared {
		for col, s := range line {
			if want := float32(math.Sqrt(float64(s))); got.Value(col, row) != want {
				t.Errorf("row %d column %d: %g m, want %g", row, col, got.Value(col, row), want)
			}
		}
	}
}

// The example in the manual of scipy.ndimage.distance_transform_edt.
func TestDistanceManualExample(t *testing.T) {
	check := readRasterChecks(t).Scipy
	m := membersAt(5, 5, func(col, row int) bool { return check.Input[row][col] == 0 })
	wantSquares(t, m, check.Squared)
}

// Three members in 7 by 9 cells; scipy and GDAL agree on the squares.
func TestDistanceThreeMembers(t *testing.T) {
	check := readRasterChecks(t).Three
	m := membersAt(9, 7, func(col, row int) bool {
		for _, z := range check.Zeros {
			if z == [2]int{row, col} {
				return true
			}
		}
		return false
	})
	wantSquares(t, m, check.Squared)
}

func TestDistanceLimit(t *testing.T) {
	m := membersAt(9, 1, func(col, row int) bool { return col == 0 })
	got := evalOf(t, Distance{Layer: "cover", Classes: []string{"pond"}, Limit: 3.5}, m, Window{Col: -2, Cols: 9, Rows: 1})
	nan := float32(math.NaN())
	for i, want := range []float32{nan, nan, 0, 1, 2, 3, 3.5, 3.5, 3.5} {
		if !sameNumber(got.Values[i], want, 0) {
			t.Errorf("column %d: %g m, want %g", i-2, got.Values[i], want)
		}
	}
}
