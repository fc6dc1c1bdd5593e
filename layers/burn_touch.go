package layers

import (
	"math"
	"math/big"

	"github.com/paulmach/orb"
)

// trace calls set for the runs of cells that a line touches: exactly those with
// a point of the line in [col, col+1) by [row, row+1).
func (b *burner) trace(line []orb.Point, set func(row, from, to int)) {
	for i := 1; i < len(line); i++ {
		b.traceSegment(line[i-1], line[i], set)
	}
	if len(line) == 1 {
		b.mark(line[0], set)
	}
}

// traceSegment goes row by row, downwards. The end at the row's lower edge
// belongs to the next row, so the columns up to it are half open.
func (b *burner) traceSegment(p, q orb.Point, set func(row, from, to int)) {
	if p[1] > q[1] {
		p, q = q, p
	}
	w := b.window
	first, last := clampCell(math.Floor(p[1])), clampCell(math.Floor(q[1]))
	for row := max(first, w.Row); row <= min(last, w.Bottom()-1); row++ {
		a, z := p[0], q[0]
		if row > first {
			a = crossColumn(p, q, float64(row))
		}
		if row < last {
			z = crossColumn(p, q, float64(row+1))
		}
		from, to := clampCell(math.Floor(min(a, z))), clampCell(math.Floor(max(a, z)))
		if row < last && z > a {
			to = max(clampCell(math.Ceil(z))-1, from)
		}
		from, to = max(from, w.Col), min(to+1, w.Right())
		if from < to {
			set(row, from, to)
		}
	}
}

// crossColumn is where an edge crosses the line at v, on the right side of the
// nearest whole column: near one, where rounding could decide, the sign of
// (p.u − m)·(q.v − p.v) + (v − p.v)·(q.u − p.u) is computed exactly.
func crossColumn(p, q orb.Point, v float64) float64 {
	if p[0] == q[0] {
		return p[0]
	}
	if v == q[1] {
		return q[0]
	}
	u := p[0] + float64((v-p[1])*((q[0]-p[0])/(q[1]-p[1])))
	u = min(max(u, min(p[0], q[0])), max(p[0], q[0]))
	m := math.Round(u)
	if math.Abs(u-m) > 1e-9*(1+math.Abs(m)) {
		return u
	}
	switch crossSign(p, q, v, m) {
	case 0:
		return m
	case 1:
		return max(u, math.Nextafter(m, math.Inf(1)))
	default:
		return min(u, math.Nextafter(m, math.Inf(-1)))
	}
}

func crossSign(p, q orb.Point, v, m float64) int {
	minus := func(a, b float64) *big.Rat {
		return new(big.Rat).Sub(new(big.Rat).SetFloat64(a), new(big.Rat).SetFloat64(b))
	}
	left := minus(p[0], m)
	left.Mul(left, minus(q[1], p[1]))
	right := minus(v, p[1])
	right.Mul(right, minus(q[0], p[0]))
	return left.Add(left, right).Sign()
}
