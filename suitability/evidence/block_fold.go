package evidence

import (
	"math/rand/v2"
	"slices"
)

// DefaultFolds is in how many parts blocks are dealt.
const DefaultFolds = 5

// Folds are blocks dealt to parts, of which each in turn is what a map is tried
// on.
type Folds struct {
	Blocks
	N  int
	of []int // by block
}

// Deal deals the blocks to at most n folds, so that each holds about as many of
// the records that are counted by block: the fullest blocks first, each to the
// fold with the fewest records, of those to the one with the fewest blocks, in
// an order that the seed shuffles. There are never more folds than blocks with
// records.
func (b Blocks) Deal(n int, records []int, seed uint64) Folds {
	occupied := 0
	for _, count := range records {
		if count > 0 {
			occupied++
		}
	}
	f := Folds{Blocks: b, N: max(1, min(n, occupied)), of: make([]int, b.Count())}
	held, blocks := make([]int, f.N), make([]int, f.N)
	for _, at := range fullestFirst(records, seed) {
		to := 0
		for k := range f.N {
			if held[k] < held[to] || held[k] == held[to] && blocks[k] < blocks[to] {
				to = k
			}
		}
		if records[at] == 0 {
			to = slices.Index(blocks, slices.Min(blocks))
		}
		f.of[at] = to
		held[to] += records[at]
		blocks[to]++
	}
	return f
}

// fullestFirst is the blocks by falling number of records, those with as many in
// random order.
func fullestFirst(records []int, seed uint64) []int {
	order := rand.New(rand.NewPCG(seed, foldStream)).Perm(len(records))
	slices.SortStableFunc(order, func(a, b int) int { return records[b] - records[a] })
	return order
}

// The streams of random numbers of one seed.
const (
	foldStream = iota + 1
	drawStream
)

// Of is the fold of a cell.
func (f Folds) Of(col, row int) int { return f.of[f.Blocks.Of(col, row)] }
