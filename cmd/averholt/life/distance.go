package life

import "math"

// far is a distance in cells, squared, beyond any raster here.
const far = 1e12

// distance is the exact distance in cells from each cell's centre to the nearest
// centre of a cell that is marked; far beyond the raster where none is. Two
// passes of lower envelopes of parabolas (Felzenszwalb & Huttenlocher 2012,
// Theory of Computing 8).
func distance(cols, rows int, marked func(i int) bool) raster {
	squares := make([]float64, cols*rows)
	for i := range squares {
		if !marked(i) {
			squares[i] = far
		}
	}
	e := newEnvelope(max(cols, rows))
	for row := range rows {
		e.transform(squares[row*cols:(row+1)*cols], 1, cols)
	}
	for col := range cols {
		e.transform(squares[col:], cols, rows)
	}
	out := newRaster(cols, rows)
	for i, v := range squares {
		out.at[i] = float32(math.Sqrt(v))
	}
	return out
}

// envelope is the lower envelope of parabolas with their feet on a line.
type envelope struct {
	foot    []int     // of the parabolas on the envelope
	from    []float64 // where each begins to be the lowest
	heights []float64
}

func newEnvelope(n int) *envelope {
	return &envelope{foot: make([]int, n), from: make([]float64, n+1), heights: make([]float64, n)}
}

// transform replaces n values, a stride apart, by the least of value + distance²
// over all of them.
func (e *envelope) transform(values []float64, stride, n int) {
	for i := range n {
		e.heights[i] = values[i*stride]
	}
	last := e.build(n)
	for i, k := 0, 0; i < n; i++ {
		for k < last && e.from[k+1] < float64(i) {
			k++
		}
		d := float64(i - e.foot[k])
		values[i*stride] = d*d + e.heights[e.foot[k]]
	}
}

func (e *envelope) build(n int) (last int) {
	e.foot[0], e.from[0] = 0, math.Inf(-1)
	for i := 1; i < n; i++ {
		cut := e.crossing(i, e.foot[last])
		for cut <= e.from[last] {
			last--
			cut = e.crossing(i, e.foot[last])
		}
		last++
		e.foot[last], e.from[last] = i, cut
	}
	return last
}

// crossing is where the parabola of foot i falls below that of foot j, j < i.
func (e *envelope) crossing(i, j int) float64 {
	return (e.heights[i] + float64(i*i) - e.heights[j] - float64(j*j)) / float64(2*(i-j))
}
