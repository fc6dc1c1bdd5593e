package layers

import "math"

// reachedMean is the mean over the cells that a flood reached, NaN where too
// few of them are known.
type reachedMean func(reached []span) float32

// values puts means over the reached cells in place of those over full shapes.
func (c *barrierCut) values(out Block, mean reachedMean) {
	for row := out.Window.Row; row < out.Window.Bottom(); row++ {
		to := out.ValueRow(row)
		c.each(row, func(i int, reached []span) { to[i] = mean(reached) })
	}
}

// reachedFlat adds in the order of the flood or, where that is exact, from
// running sums; both give the same bytes, as in exactSums.
func reachedFlat(source Block, d disc) reachedMean {
	sum := func(reached []span) float64 { return spanSum(source, reached) }
	if exact, scale := exactSummer(source, d); exact != nil {
		sum = func(reached []span) float64 { return float64(exact.spans(reached)) * scale }
	}
	known := knownSpans(source)
	return func(reached []span) float32 {
		cells, n := 0, known(reached)
		for _, s := range reached {
			cells += s.cells()
		}
		if !mostKnown(n, cells) {
			return float32(math.NaN())
		}
		return float32(sum(reached) / float64(n))
	}
}

// spanSum adds the known values of spans.
func spanSum(b Block, spans []span) (sum float64) {
	for _, s := range spans {
		for _, v := range b.ValueRow(b.Window.Row + int(s.row))[s.from : s.to+1] {
			if v == v {
				sum += float64(v)
			}
		}
	}
	return sum
}

// knownSpans counts the known cells of spans.
func knownSpans(b Block) func([]span) int {
	row8 := make([]uint8, b.Window.Cols)
	known := newDiscSummer(b.Window, func(row int, cells []int64) {
		knownRow(b, row, row8)
		for i, k := range row8 {
			cells[i] = int64(k)
		}
	})
	return func(spans []span) int { return int(known.spans(spans)) }
}

// reachedGaussian weighs each reached cell by the product of its column's and
// its row's weight, cell by cell in the order of the flood.
func reachedGaussian(source Block, f *flood, weights []float64) reachedMean {
	return func(reached []span) float32 {
		var sum, known, whole float64
		for _, s := range reached {
			values := source.ValueRow(source.Window.Row + int(s.row))
			across := weights[absolute(s.row-f.row)]
			for col := s.from; col <= s.to; col++ {
				weight := float64(across * weights[absolute(col-f.col)])
				whole += weight
				if v := values[col]; v == v {
					known += weight
					sum += float64(weight * float64(v))
				}
			}
		}
		if !(known >= 0.6*whole) {
			return float32(math.NaN())
		}
		return float32(sum / known)
	}
}

func absolute(v int32) int32 { return max(v, -v) }
