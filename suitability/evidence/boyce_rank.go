package evidence

import (
	"cmp"
	"math"
	"math/bits"
	"slices"
)

// comparePoints compares p/a with q/b as p·b with q·a, in whole numbers of 128
// bits: floating point would break the tie of 1/3 with 10/30.
func comparePoints(x, y BoycePoint) int {
	h1, l1 := bits.Mul64(uint64(x.Presences), uint64(y.Cells))
	h2, l2 := bits.Mul64(uint64(y.Presences), uint64(x.Cells))
	return cmp.Or(cmp.Compare(h1, h2), cmp.Compare(l1, l2))
}

// spearmanRising is Spearman's rank correlation, ties given their average rank,
// between the order of the items and their order by compare: Pearson's of the
// ranks, whose sums are whole numbers here and thus exact. It is not defined for
// fewer than three items, nor where all are equal.
func spearmanRising[T any](items []T, compare func(a, b T) int) (rho float64, ok bool) {
	n := len(items)
	if n < 3 {
		return 0, false
	}
	var xx, yy, xy int64 // of twice the ranks, less their mean n + 1
	for i, rank := range doubleRanks(items, compare) {
		x, y := int64(2*(i+1)-n-1), rank-int64(n)-1
		xx, yy, xy = xx+x*x, yy+y*y, xy+x*y
	}
	if yy == 0 {
		return 0, false
	}
	return float64(xy) / math.Sqrt(float64(xx)*float64(yy)), true
}

// doubleRanks are twice the average ranks, from 2: whole numbers.
func doubleRanks[T any](items []T, compare func(a, b T) int) []int64 {
	order := make([]int, len(items))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return compare(items[a], items[b]) })
	ranks := make([]int64, len(items))
	for from := 0; from < len(order); {
		to := from + 1
		for to < len(order) && compare(items[order[from]], items[order[to]]) == 0 {
			to++
		}
		for _, i := range order[from:to] {
			ranks[i] = int64(from + 1 + to)
		}
		from = to
	}
	return ranks
}
