package evidence

import (
	"math"
	"testing"

	"tussock/layers"
)

const beiFolder = "../../testdata/bei/"

// bei are the 3604 trees of Beilschmiedia pendula on a plot of 1000 m by 500 m,
// elevation and slope on cells of 5 m (Hubbell SP, Foster RB (1983); Condit R
// (1998); shipped with spatstat.data). Edge cells are half inside, corners a
// quarter.
type bei struct {
	x, y             []float64
	elev, grad, area []float64
}

const beiCols, beiRows = 201, 101

func readBei(t testing.TB) bei {
	var b bei
	for _, layer := range []struct {
		name string
		into *[]float64
	}{{"elev.tif", &b.elev}, {"grad.tif", &b.grad}} {
		raster, err := layers.OpenRaster(beiFolder+layer.name, 1)
		if err != nil {
			t.Fatal(err)
		}
		values := make([]float32, beiCols*beiRows)
		if err := raster.ReadFloat32(0, 0, beiCols, beiRows, values); err != nil {
			t.Fatal(err)
		}
		if err := raster.Close(); err != nil {
			t.Fatal(err)
		}
		for _, v := range values {
			*layer.into = append(*layer.into, float64(v))
		}
	}
	for i := range b.elev {
		b.area = append(b.area, 25*insideShare(i%beiCols, beiCols)*insideShare(i/beiCols, beiRows))
	}
	return b
}

func insideShare(i, n int) float64 {
	if i == 0 || i == n-1 {
		return .5
	}
	return 1
}

// counts puts every tree into the column and row that place returns for its
// distance in cells from the plot's south-west corner.
func (b bei) counts(column, row func(cells float64) int) []float64 {
	counts := make([]float64, beiCols*beiRows)
	for i := range b.x {
		counts[row(b.y[i]/5)*beiCols+column(b.x[i]/5)]++
	}
	return counts
}

func (b bei) terms(elev, grad bool) []FitTerm {
	terms := []FitTerm{{Name: "1", Values: ones(len(b.area))}}
	if elev {
		terms = append(terms, FitTerm{Name: "elev", Values: b.elev})
	}
	if grad {
		terms = append(terms, FitTerm{Name: "grad", Values: b.grad})
	}
	return terms
}

// Every tree in the cell that holds it (half-open cells counted from the
// north-west): R's glm and statsmodels agree on the coefficients. With R's
// rounding of halves to even, 68 trees on an edge fall into the other cell, and
// R's glm with exact cell areas gives the second set. The rasters here hold
// float32, R's images float64, so agreement ends near 1e-7.
func TestTreesOnElevationAndSlope(t *testing.T) {
	b := readBei(t)
	points := readNumbers(t, beiFolder+"occurrences.csv", 3, 4)
	b.x, b.y = points[0], points[1]
	floor := b.counts(func(c float64) int { return int(math.Floor(c + .5)) },
		func(c float64) int { return int(math.Floor(100.5 - c)) })
	even := b.counts(func(c float64) int { return int(math.RoundToEven(c)) },
		func(c float64) int { return 100 - int(math.RoundToEven(c)) })

	f := mustFit(t, LogLinear{Points: floor, Area: b.area, Terms: b.terms(true, true)})
	sameCoefs(t, "cell that holds it", f.Coef, []float64{-8.558203938, .021403611341, 5.846947865}, 1e-6)
	sameCoefs(t, "standard errors", f.SE, []float64{.3411811783, .00228845235582, .2558337031}, 1e-5)
	sameCoefs(t, "log likelihood, total", []float64{f.LogLik, f.Expected}, []float64{-21144.539466651582, 3604}, 1e-9)
	trees := LogLinear{Points: floor, Area: b.area, Terms: b.terms(true, true)}
	for j, g := range scoreEquations(trees, f.Coef) {
		if math.Abs(g) > 1e-5 {
			t.Errorf("score of %s is %g at the optimum", f.Names[j], g)
		}
	}

	f = mustFit(t, LogLinear{Points: even, Area: b.area, Terms: b.terms(true, true)})
	sameCoefs(t, "halves to even", f.Coef, []float64{-8.5687095082736, .0214726773513, 5.8520037739367}, 1e-6)
	sameCoefs(t, "standard errors", f.SE, []float64{.34122355806678, .00228869160611, .25580336857913}, 1e-5)
	sameCoefs(t, "log likelihood, total", []float64{f.LogLik, f.Expected}, []float64{-21144.0453191, 3604}, 1e-8)

	f = mustFit(t, LogLinear{Points: even, Area: b.area, Terms: b.terms(false, true)})
	sameCoefs(t, "slope alone", f.Coef, []float64{-5.39152108355, 5.03239094769}, 1e-6)
	f = mustFit(t, LogLinear{Points: floor, Area: b.area, Terms: b.terms(false, false)})
	sameCoefs(t, "intercept alone: log(3604/500000)", f.Coef, []float64{-4.93256375868}, 1e-10)
}

// scoreEquations are Σ s x − Σ a λ x, computed anew from the model alone.
func scoreEquations(m LogLinear, coef []float64) []float64 {
	score := make([]float64, len(m.Terms))
	for i := range m.Points {
		eta := 0.0
		if m.Offset != nil {
			eta = m.Offset[i]
		}
		for j, term := range m.Terms {
			eta += coef[j] * term.Values[i]
		}
		for j, term := range m.Terms {
			score[j] += (m.Points[i] - m.Area[i]*math.Exp(eta)) * term.Values[i]
		}
	}
	return score
}
