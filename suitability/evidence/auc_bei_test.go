package evidence

import (
	"encoding/csv"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"strconv"
	"testing"

	"tussock/layers"
)

const (
	plotFolder = "../../testdata/bei/"
	plotCols   = 201
	plotRows   = 101
)

// plotRaster reads one of the rasters of the plot: 5 m cells from −2.5 to 1002.5
// by −2.5 to 502.5 m.
func plotRaster(t *testing.T, name string) []float64 {
	t.Helper()
	r, err := layers.OpenRaster(plotFolder+name, 1)
	if err != nil {
		t.Fatal(err)
	}
	defer r.Close()
	raw := make([]float32, plotCols*plotRows)
	if err := r.ReadFloat32(0, 0, plotCols, plotRows, raw); err != nil {
		t.Fatal(err)
	}
	values := make([]float64, len(raw))
	for i, v := range raw {
		values[i] = float64(v)
	}
	return values
}

// plotTreeCells are the cells of the 3604 trees, duplicates kept: column
// floor((x − west)/5), row floor((north − y)/5).
func plotTreeCells(t *testing.T) []int {
	t.Helper()
	f, err := os.Open(plotFolder + "occurrences.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	place := map[string]int{}
	for i, name := range rows[0] {
		place[name] = i
	}
	var cells []int
	for _, row := range rows[1:] {
		x, errX := strconv.ParseFloat(row[place["x"]], 64)
		y, errY := strconv.ParseFloat(row[place["y"]], 64)
		if errX != nil || errY != nil {
			t.Fatalf("%v: %v, %v", row, errX, errY)
		}
		cells = append(cells, int(math.Floor((502.5-y)/5))*plotCols+int(math.Floor((x+2.5)/5)))
	}
	return cells
}

func at(values []float64, cells []int) []float64 {
	out := make([]float64, len(cells))
	for i, c := range cells {
		out[i] = values[c]
	}
	return out
}

// plotQuarters is how many quarters of a cell lie in the plot of 1000 by 500 m: 4,
// half of it on its rim, a quarter in its corners.
func plotQuarters(cell int) int64 {
	side := func(i, n int) int64 {
		if i == 0 || i == n-1 {
			return 1
		}
		return 2
	}
	return side(cell%plotCols, plotCols) * side(cell/plotCols, plotRows)
}

type plotBin struct {
	Lo, Hi, Ratio float64
	Area          float64 `json:"area_m2"`
	Points        int64
}

type numpyFigures struct {
	Grad    []plotBin `json:"bins_grad"`
	Elev    []plotBin `json:"bins_elev"`
	AUCElev struct {
		Equal float64 `json:"all_cells_equal"`
		Area  float64 `json:"area_weighted"`
	} `json:"auc_elev"`
	AUCGrad struct {
		Equal float64 `json:"all_cells_equal"`
		Area  float64 `json:"area_weighted"`
	} `json:"auc_grad"`
	Fit struct {
		Coef map[string]float64
	} `json:"poisson_cells"`
	BoyceIntensity struct {
		All   []float64 `json:"all_windows"`
		Dedup []float64 `json:"dedup"`
	} `json:"boyce_intensity"`
	Overlay struct {
		AUC     float64 `json:"auc_all_cells"`
		AUCArea float64 `json:"auc_area_weighted"`
		Boyce   []float64
	} `json:"weighted_overlay"`
}

func readNumpyFigures(t *testing.T) (r numpyFigures) {
	t.Helper()
	text, err := os.ReadFile(plotFolder + "ref/reference_python.json")
	if err == nil {
		err = json.Unmarshal(text, &r)
	}
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// plotExact are the indices where the reference's quotients break a tie, recomputed
// with numpy and scipy.stats.spearmanr from p/a, in which equal fractions are
// equal floats.
var plotExact = map[string]map[bool]float64{"fit": {false: .4965811668, true: .4998740815}}

// The README beside the data tells how its numbers were made (numpy, scipy):
// every cell is background, each tree counts once, Boyce windows over the
// observed range.
func TestBeiAgainstNumpy(t *testing.T) {
	want, trees := readNumpyFigures(t), plotTreeCells(t)
	if len(trees) != 3604 {
		t.Fatalf("%d trees", len(trees))
	}
	for _, c := range []struct {
		file        string
		auc, area   float64
		boyce, drop float64 // NaN where none is told
		tolerance   float64
	}{
		{"ref/suitability.tif", .643035, want.Overlay.AUCArea, .924464, want.Overlay.Boyce[0], 1e-6},
		{"fit", .612803, .613736, want.BoyceIntensity.All[0], want.BoyceIntensity.Dedup[0], 1e-6},
		{"ref/intensity_poisson.tif", .612803, .613736, math.NaN(), math.NaN(), 1e-6},
		{"elev.tif", want.AUCElev.Equal, want.AUCElev.Area, math.NaN(), math.NaN(), 1e-9},
		{"grad.tif", want.AUCGrad.Equal, want.AUCGrad.Area, math.NaN(), math.NaN(), 1e-9},
	} {
		t.Run(c.file, func(t *testing.T) {
			cells := plotSurface(t, c.file, want.Fit.Coef)
			presence := at(cells, trees)
			r, err := AUC(presence, cells)
			if err != nil {
				t.Fatal(err)
			}
			near(t, "AUC, all cells equal", r.Value, c.auc, c.tolerance)
			near(t, "AUC, by area", plotByArea(t, presence, cells), c.area, c.tolerance)
			if math.IsNaN(c.boyce) {
				return
			}
			for collapse, index := range map[bool]float64{false: c.boyce, true: c.drop} {
				b, err := Boyce(presence, cells, BoyceOptions{Collapse: collapse})
				if err != nil {
					t.Fatal(err)
				}
				near(t, fmt.Sprintf("Boyce index of rounded quotients, collapse %v", collapse), rankedInFloats(b, len(cells)), index, 1e-6)
				if exact, differs := plotExact[c.file]; differs {
					index = exact[collapse]
				}
				near(t, fmt.Sprintf("Boyce index, collapse %v", collapse), b.Index, index, 1e-6)
			}
		})
	}
}

// plotSurface is a raster, or the fitted intensity in full precision: its raster is
// rounded to float32, which moves cells over the edges of windows.
func plotSurface(t *testing.T, file string, coef map[string]float64) []float64 {
	t.Helper()
	if file != "fit" {
		return plotRaster(t, file)
	}
	elev, grad := plotRaster(t, "elev.tif"), plotRaster(t, "grad.tif")
	for i := range elev {
		elev[i] = math.Exp(coef["(Intercept)"] + coef["elev"]*elev[i] + coef["grad"]*grad[i])
	}
	return elev
}

// plotByArea weighs each cell by its quarters inside the plot, through a
// histogram.
func plotByArea(t *testing.T, presence, cells []float64) float64 {
	t.Helper()
	h, err := NewHistogram(presence)
	if err != nil {
		t.Fatal(err)
	}
	for i, v := range cells {
		h.Add(v, plotQuarters(i))
	}
	r, err := h.AUC()
	if err != nil {
		t.Fatal(err)
	}
	return r.Value
}

// Between the reference's own breaks trees, areas and ratios agree. The tenths
// themselves may differ by a cell: numpy's linspace gives 0.6000000000000001, by
// which the cell that is the break falls below it.
func TestBeiDecileRatios(t *testing.T) {
	want, trees := readNumpyFigures(t), plotTreeCells(t)
	areas := make([]float64, plotCols*plotRows)
	for i := range areas {
		areas[i] = float64(plotQuarters(i)) * 6.25
	}
	for file, bins := range map[string][]plotBin{"elev.tif": want.Elev, "grad.tif": want.Grad} {
		cells := plotRaster(t, file)
		presence := at(cells, trees)
		breaks := []float64{bins[0].Lo}
		for _, bin := range bins {
			breaks = append(breaks, bin.Hi)
		}
		rows, err := IntervalRatios(presence, cells, areas, breaks)
		tenths, errTenths := DecileRatios(presence, cells, areas)
		if err != nil || errTenths != nil || len(tenths) != 10 || len(bins) != 10 {
			t.Fatalf("%s: %d tenths, %v, %v", file, len(tenths), err, errTenths)
		}
		for i, bin := range bins {
			if r := rows[i]; r.Used != bin.Points || r.Available != bin.Area {
				t.Errorf("%s, tenth %d: %d trees on %g m², not %d on %g", file, i+1, r.Used, r.Available, bin.Points, bin.Area)
			}
			near(t, "ratio", rows[i].Ratio, bin.Ratio, 1e-12)
			near(t, "lower end", tenths[i].Low, bin.Lo, 1e-12)
			near(t, "upper end", tenths[i].High, bin.Hi, 1e-12)
			near(t, "area", tenths[i].Available, bin.Area, 25)
			near(t, "ratio of a tenth", tenths[i].Ratio, bin.Ratio, .001)
		}
	}
}
