package layers

import "math"

// gaussianWeights are exp(−k²/2σ²) for k = 0 … radius cells, with σ = half the
// radius (in cells, which need not be whole).
func gaussianWeights(radius int, cells float64) []float64 {
	weights := make([]float64, radius+1)
	sigma := cells / 2
	for k := range weights {
		weights[k] = math.Exp(-float64(k*k) / (2 * sigma * sigma))
	}
	return weights
}

// gaussianMean smooths rows, then columns, from the centre outwards. Products
// are rounded before they are added (the conversions to float64), so that no
// machine fuses the two.
func gaussianMean(source Block, w Window, weights []float64) Block {
	out := NewValues(w)
	g := &gaussian{source: source, window: w, weights: weights}
	g.rows, g.known = g.alongRows()
	whole := wholeWeight(weights)
	sum, known := make([]float64, w.Cols), make([]float64, w.Cols)
	for i := range known {
		known[i] = whole
	}
	for row := w.Row; row < w.Bottom(); row++ {
		g.column(g.rows, row, sum)
		if g.known != nil {
			g.column(g.known, row, known)
		}
		to := out.ValueRow(row)
		for i, v := range sum {
			if weight := known[i]; weight >= 0.6*whole {
				to[i] = float32(v / weight)
			}
		}
	}
	return out
}

type gaussian struct {
	source  Block
	window  Window
	weights []float64
	rows    []float64 // smoothed along the rows, for every row of the source
	known   []float64 // the same of 1 where known, 0 where not; nil if all are
}

// alongRows smooths each row of the source, unknown cells counting as 0.
func (g *gaussian) alongRows() (rows, known []float64) {
	radius := len(g.weights) - 1
	all := allKnown(g.source)
	cols, height := g.window.Cols, g.source.Window.Rows
	rows = make([]float64, cols*height)
	if !all {
		known = make([]float64, cols*height)
	}
	values, ones := make([]float64, cols+2*radius), make([]float64, cols+2*radius)
	for r := range height {
		for i, v := range g.source.ValueRow(g.source.Window.Row + r) {
			values[i], ones[i] = 0, 0
			if v == v {
				values[i], ones[i] = float64(v), 1
			}
		}
		smooth(rows[r*cols:(r+1)*cols], values, 1, g.weights)
		if !all {
			smooth(known[r*cols:(r+1)*cols], ones, 1, g.weights)
		}
	}
	return rows, known
}

// column smooths down the columns for one row of the window.
func (g *gaussian) column(rows []float64, row int, to []float64) {
	cols := g.window.Cols
	smooth(to, rows[(row-g.window.Row)*cols:], cols, g.weights)
}

// smooth is to[i] = Σ weight[|k|]·values[i + (k + radius)·step], k from 0
// outwards; the two neighbours at ±k are added first.
func smooth(to, values []float64, step int, weights []float64) {
	radius := len(weights) - 1
	for i, v := range values[radius*step:][:len(to)] {
		to[i] = float64(weights[0] * v)
	}
	for k := 1; k <= radius; k++ {
		weight := weights[k]
		before, after := values[(radius-k)*step:][:len(to)], values[(radius+k)*step:][:len(to)]
		for i := range to {
			to[i] += float64(weight * (before[i] + after[i]))
		}
	}
}

// wholeWeight is the weight of a kernel that is known throughout, reckoned as
// smooth reckons it, so that both agree to the last bit.
func wholeWeight(weights []float64) float64 {
	ones, along, whole := make([]float64, 2*len(weights)-1), make([]float64, 1), make([]float64, 1)
	for i := range ones {
		ones[i] = 1
	}
	smooth(along, ones, 1, weights)
	for i := range ones {
		ones[i] = along[0]
	}
	smooth(whole, ones, 1, weights)
	return whole[0]
}
