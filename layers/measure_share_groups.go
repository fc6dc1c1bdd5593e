package layers

import "slices"

// rowSums adds weights within the disc around each cell of one row.
type rowSums func(row int, chords []chord, to []int64)

// weightGroup is the classes that weigh the same.
type weightGroup struct {
	weight int64
	member [256]uint8 // 1 for the codes of the group
}

// fewGroups is up to how many different weights counting the cells of each
// weight is faster than adding the weights themselves.
const fewGroups = 3

func weightGroups(byCode [256]int64) []weightGroup {
	var groups []weightGroup
	for code, weight := range byCode {
		if weight == 0 {
			continue
		}
		at := slices.IndexFunc(groups, func(g weightGroup) bool { return g.weight == weight })
		if at < 0 {
			at = len(groups)
			groups = append(groups, weightGroup{weight: weight})
		}
		groups[at].member[code] = 1
	}
	return groups
}

// groupSums counts each group's cells: Σ weight = Σ over groups of weight ×
// count, exactly.
func groupSums(source Block, groups []weightGroup, w Window) rowSums {
	counts := make([]countRow, len(groups))
	for i := range groups {
		counts[i] = countSet(source.Window, w, codeMembers(source, &groups[i].member))
	}
	return func(row int, chords []chord, to []int64) {
		clear(to)
		for k, g := range groups {
			for i, n := range counts[k](row, chords) {
				to[i] += g.weight * int64(n)
			}
		}
	}
}

// codeMembers reads the cells of a set of classes off a block.
func codeMembers(b Block, member *[256]uint8) func(row int, cells []uint8) {
	return func(row int, cells []uint8) {
		for i, code := range b.CodeRow(row) {
			cells[i] = member[code]
		}
	}
}
