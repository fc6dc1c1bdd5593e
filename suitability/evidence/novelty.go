package evidence

import (
	"math"
	"slices"
)

// minReference is the least number of records from which a place can be called
// unlike the others (the project's own choice; common practice, no source).
const minReference = 10

// reference are the values of one measure at calibration places.
type reference struct {
	sorted []float64
}

// newReference leaves unknown values out.
func newReference(values []float64) reference {
	sorted := slices.DeleteFunc(slices.Clone(values), math.IsNaN)
	slices.Sort(sorted)
	return reference{sorted}
}

// similarity is how far a value lies within the reference, in percent: 100 at
// its median, 0 at its ends, and below 0 outside, in percent of the reference's
// range. With p the value, f the share in percent of reference values that are
// smaller than p, and min and max the reference's ends,
//
//	f = 0          100·(p − min)/(max − min)
//	0 < f ≤ 50     2·f
//	50 < f < 100   2·(100 − f)
//	f = 100        100·(max − p)/(max − min)
//
// This is the similarity of the multivariate environmental similarity surface of
// Elith, Kearney and Phillips 2010, Methods in Ecology and Evolution 1:330-342
// (from memory). A reference that is the same everywhere says nothing of the same
// value (not ok), and −Inf of any other, as there is no range to measure by. An
// unknown value, or no reference, is not ok.
func (r reference) similarity(p float64) (s float64, ok bool) {
	n := len(r.sorted)
	if n == 0 || math.IsNaN(p) {
		return 0, false
	}
	least, most := r.sorted[0], r.sorted[n-1]
	if least == most {
		return math.Inf(-1), p != least
	}
	smaller, _ := slices.BinarySearch(r.sorted, p)
	switch {
	case smaller == 0:
		return 100 * (p - least) / (most - least), true
	case smaller == n:
		return 100 * (most - p) / (most - least), true
	}
	f := 100 * float64(smaller) / float64(n)
	if f <= 50 {
		return 2 * f, true
	}
	return 2 * (100 - f), true
}

// mostUnlike is the multivariate similarity of a place, the least of its
// variables', and which of them has it, the first of equal ones. Variables that
// say nothing are left out; where all do, it is not ok.
func mostUnlike(refs []reference, values []float64) (s float64, variable int, ok bool) {
	for i, r := range refs {
		if v, known := r.similarity(values[i]); known && (!ok || v < s) {
			s, variable, ok = v, i, true
		}
	}
	return s, variable, ok
}
