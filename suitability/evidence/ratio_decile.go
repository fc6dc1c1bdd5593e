package evidence

import (
	"fmt"
	"math"
	"slices"
	"sort"
)

// Deciles are the breaks between tenths of the cells, with both ends: at most 11
// rising values, fewer where many cells tie. They are quantiles at (n − 1)·q,
// interpolated (type 7 of Hyndman and Fan 1996, The American Statistician
// 50:361-365), of cells, whatever their areas.
func Deciles(cells []float64) ([]float64, error) {
	if err := known("cell", cells); err != nil {
		return nil, err
	}
	if len(cells) == 0 {
		return nil, undefined("tenths of nothing")
	}
	sorted := slices.Clone(cells)
	slices.Sort(sorted)
	breaks := make([]float64, 11)
	for i := range breaks {
		at := float64(len(sorted)-1) * float64(i) / 10
		low := int(math.Floor(at))
		a, b := sorted[low], sorted[min(low+1, len(sorted)-1)]
		breaks[i] = a + (b-a)*(at-float64(low))
	}
	return slices.Compact(breaks), nil
}

// DecileRatios are the selection ratios of a measure by tenths of the cells. The
// areas belong to the cells, in any unit; nil for cells of one area. A measure
// that is the same everywhere has one interval, with the ratio 1.
func DecileRatios(presence, cells, area []float64) ([]SelectionRatio, error) {
	breaks, err := Deciles(cells)
	if err != nil {
		return nil, err
	}
	return IntervalRatios(presence, cells, area, breaks)
}

// IntervalRatios are the selection ratios of a measure between rising breaks:
// half-open intervals, the last closed. What lies outside the breaks is an error,
// so that nothing is lost in silence.
func IntervalRatios(presence, cells, area, breaks []float64) ([]SelectionRatio, error) {
	if area != nil && len(area) != len(cells) {
		return nil, fmt.Errorf("evidence: %d areas of %d cells", len(area), len(cells))
	}
	if len(breaks) == 0 || !slices.IsSorted(breaks) || known("break", breaks) != nil {
		return nil, fmt.Errorf("evidence: the breaks %v do not rise", breaks)
	}
	if len(breaks) == 1 {
		breaks = []float64{breaks[0], breaks[0]}
	}
	used, available := make([]int64, len(breaks)-1), make([]float64, len(breaks)-1)
	err := intoIntervals("presence", presence, breaks, func(_, k int) { used[k]++ })
	if err == nil {
		err = intoIntervals("cell", cells, breaks, func(i, k int) { available[k] += areaOf(area, i) })
	}
	if err != nil {
		return nil, err
	}
	rows, err := SelectionRatios(used, available)
	for k := range rows {
		rows[k].Low, rows[k].High = breaks[k], breaks[k+1]
	}
	return rows, err
}

func areaOf(area []float64, i int) float64 {
	if area == nil {
		return 1
	}
	return area[i]
}

func intoIntervals(what string, values, breaks []float64, put func(i, k int)) error {
	last := len(breaks) - 1
	for i, v := range values {
		if !(v >= breaks[0] && v <= breaks[last]) {
			return fmt.Errorf("evidence: %s %d is %g, outside the breaks from %g to %g", what, i, v, breaks[0], breaks[last])
		}
		k := sort.Search(len(breaks), func(j int) bool { return breaks[j] > v }) - 1
		put(i, min(k, last-1))
	}
	return nil
}
