package records

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"testing"
)

// Chapman & Wieczorek (2020), Georeferencing Best Practices: the table of
// uncertainty from coordinate precision prints whole metres, so 1 m is the
// tolerance against it; the recomputed values hold to a millimetre.
func TestPrecisionUncertaintyTable(t *testing.T) {
	f, err := os.Open("testdata/coordinate_precision.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil || len(rows) != 53 {
		t.Fatalf("%d rows, %v", len(rows), err)
	}
	for _, row := range rows[1:] {
		var v [4]float64
		for i := range v {
			if v[i], err = strconv.ParseFloat(row[i+1], 64); err != nil {
				t.Fatal(err)
			}
		}
		got := PrecisionUncertainty(v[0], v[1])
		if math.Abs(got-v[2]) > 1 || math.Abs(got-v[3]) > 1e-3 {
			t.Errorf("%s at %v°: %v m, published %v, recomputed %v", row[0], v[1], got, v[2], v[3])
		}
	}
}

// The worked example in the same source: latitude 10.27, 0.01° gives 1.5568 km.
func TestPrecisionUncertaintyWorkedExample(t *testing.T) {
	if got := PrecisionUncertainty(0.01, 10.27); math.Abs(got-1556.8) > 0.05 {
		t.Errorf("%v m, want 1556.8", got)
	}
}

// Half diagonals of squares are published as 71 m for 100 m (Darwin Core Quick
// Reference Guide, coordinateUncertaintyInMeters); 707, 1414 and 7071 m follow
// from Pythagoras.
func TestSquareUncertainty(t *testing.T) {
	for side, want := range map[float64]float64{100: 71, 1000: 707, 2000: 1414, 10000: 7071} {
		if got := SquareUncertainty(side); math.Round(got) != want {
			t.Errorf("%v m: %v, want %v", side, got, want)
		}
	}
}

// Common practice: 3 decimals resolve 56 m along the meridian, 4 decimals 6 m.
func TestResolution(t *testing.T) {
	for decimals, want := range map[int]float64{3: 56, 4: 6} {
		if got := resolution(decimals, 55); math.Round(got) != want {
			t.Errorf("%d decimals: %v m, want %v", decimals, got, want)
		}
	}
}
