package evidence

import "fmt"

// BoyceBinned is the index over bins in rising order of suitability, from the
// presences and the cells of each (Boyce et al. 2002, Ecological Modelling
// 157:281-300): Spearman's rank correlation between the bins' order and the share
// of presences by the share of cells. Bins without a cell are skipped; ties are
// exact. It does not refuse few records, since a published table may be what is
// checked.
func BoyceBinned(presences, cells []int64) (BoyceResult, error) {
	r := BoyceResult{Method: BinnedBoyce}
	if len(presences) != len(cells) {
		return r, fmt.Errorf("evidence: %d bins of presences against %d of cells", len(presences), len(cells))
	}
	var total int64
	for i := range cells {
		if presences[i] < 0 || cells[i] < 0 {
			return r, fmt.Errorf("evidence: bin %d counts %d presences in %d cells", i, presences[i], cells[i])
		}
		r.Presences += presences[i]
		total += cells[i]
		r.Curve = append(r.Curve, BoycePoint{Mid: float64(i + 1), Presences: presences[i], Cells: cells[i]})
	}
	if r.Presences == 0 || total == 0 {
		return r, undefined("%d presences in %d cells", r.Presences, total)
	}
	return r.correlated(float64(r.Presences), float64(total))
}
