package evidence

import "slices"

// CrossFold is one share of the blocks, held out together.
type CrossFold struct {
	Blocks  []int32
	Records int     // with a weight above 0
	Weight  float64 // of its records
}

// crossFolds deals blocks to k folds (fewer where fewer blocks hold records):
// occupied blocks by falling weight of their records, each to the fold with the
// least so far, then empty ones in turn. It depends on nothing but its input.
func crossFolds(block []int32, points []float64, k int) ([]CrossFold, []int) {
	blocks := occupiedFirst(block, points)
	occupied := 0
	for _, b := range blocks {
		if b.records > 0 {
			occupied++
		}
	}
	folds := make([]CrossFold, max(2, min(k, occupied)))
	home := map[int32]int{}
	for n, b := range blocks {
		f := n % len(folds)
		if b.records > 0 {
			f = lightest(folds)
		}
		home[b.id] = f
		folds[f].Blocks = append(folds[f].Blocks, b.id)
		folds[f].Records += b.records
		folds[f].Weight += b.weight
	}
	for f := range folds {
		slices.Sort(folds[f].Blocks)
	}
	rows := make([]int, len(block))
	for i, b := range block {
		rows[i] = home[b]
	}
	return folds, rows
}

type foldBlock struct {
	id      int32
	records int
	weight  float64
}

func occupiedFirst(block []int32, points []float64) []foldBlock {
	at := map[int32]int{}
	var blocks []foldBlock
	for i, id := range block {
		k, known := at[id]
		if !known {
			k = len(blocks)
			at[id] = k
			blocks = append(blocks, foldBlock{id: id})
		}
		if points[i] > 0 {
			blocks[k].records++
			blocks[k].weight += points[i]
		}
	}
	slices.SortFunc(blocks, func(a, b foldBlock) int {
		if a.weight != b.weight {
			if a.weight > b.weight {
				return -1
			}
			return 1
		}
		return int(a.id) - int(b.id)
	})
	return blocks
}

func lightest(folds []CrossFold) int {
	best := 0
	for f := range folds {
		if folds[f].Weight < folds[best].Weight {
			best = f
		}
	}
	return best
}
