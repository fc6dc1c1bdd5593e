package evidence

import (
	"fmt"
	"math"
	"slices"
	"sort"

	"tussock/suitability"
)

// Histogram counts the cells of an area in bounded memory, one block after
// another, against presences that are known beforehand, and then gives the same
// figures as the functions that hold every cell: AUC, Boyce index, thresholds,
// lift.
//
// It has no bins of equal width, which would tie what is not tied. It is cut at
// every value at which a figure may change (each presence, each edge of a
// window, each threshold asked for) and counts the cells on and between cuts;
// ranks need no more, so the figures are exact. A histogram of a byte surface
// is cut at the 201 bytes and is exact for any question.
//
// A histogram serves one goroutine; several are joined by [Histogram.Merge].
type Histogram struct {
	cuts     []float64 // rising, distinct
	presence []int64   // on each cut
	cells    []int64   // 2i + 1: on cut i; 2i: between it and the cut before
	unknown  int64
	bytes    bool

	low, scale float64 // where a value's bucket is looked up
	first      []int32 // the first cut of each bucket, and the end
}

// lookupBuckets is the size of the table that finds a value's cut; it changes
// the speed alone.
const lookupBuckets = 1 << 16

// NewHistogram is a histogram for these presences and for all that [Cuts] lists.
func NewHistogram(presence []float64, cuts ...[]float64) (*Histogram, error) {
	if err := known("presence", presence); err != nil {
		return nil, err
	}
	all := slices.Clone(presence)
	for _, c := range cuts {
		if err := known("cut", c); err != nil {
			return nil, err
		}
		all = append(all, c...)
	}
	if len(all) == 0 {
		return nil, undefined("a histogram without presences and without cuts")
	}
	slices.Sort(all)
	h := newHistogram(slices.Compact(all))
	for _, v := range presence {
		h.presence[h.cut(v)]++
	}
	return h, nil
}

// NewByteHistogram is a histogram of a surface of bytes in steps of
// suitability.ByteScale. Presences that are not known are counted as unknown.
func NewByteHistogram(presence []uint8) *Histogram {
	steps := make([]float64, 0, suitability.ByteNodata)
	for b := 0; !math.IsNaN(suitability.DecodeByte(uint8(b))); b++ {
		steps = append(steps, suitability.DecodeByte(uint8(b)))
	}
	h := newHistogram(steps)
	h.bytes = true
	for _, b := range presence {
		if int(b) < len(steps) {
			h.presence[b]++
		} else {
			h.unknown++
		}
	}
	return h
}

func newHistogram(cuts []float64) *Histogram {
	h := &Histogram{cuts: cuts, presence: make([]int64, len(cuts)), cells: make([]int64, 2*len(cuts)+1)}
	h.low = cuts[0]
	if width := cuts[len(cuts)-1] - cuts[0]; width > 0 {
		h.scale = (lookupBuckets - 1) / width
	}
	h.first = make([]int32, lookupBuckets+1)
	at := 0
	for b := range h.first {
		for at < len(cuts) && h.bucket(cuts[at]) < b {
			at++
		}
		h.first[b] = int32(at)
	}
	return h
}

// bucket never falls as v rises, which is all that the table needs.
func (h *Histogram) bucket(v float64) int {
	q := (v - h.low) * h.scale
	switch {
	case !(q > 0):
		return 0
	case q >= lookupBuckets-1:
		return lookupBuckets - 1
	}
	return int(q)
}

// cut is the index of the first cut that is at least v.
func (h *Histogram) cut(v float64) int {
	b := h.bucket(v)
	from, to := int(h.first[b]), int(h.first[b+1])
	if to-from > 8 {
		return from + sort.SearchFloat64s(h.cuts[from:to], v)
	}
	for from < to && h.cuts[from] < v {
		from++
	}
	return from
}

// AddFloats counts a block of cells; NaN is a cell that is not known. Values were
// rounded to float32: a threshold such as 0.7 must be rounded alike, or a cell on
// it falls below.
func (h *Histogram) AddFloats(block []float32) {
	for _, v32 := range block {
		if v32 != v32 {
			h.unknown++
			continue
		}
		h.Add(float64(v32), 1)
	}
}

// Add counts a value n times: n is a cell's weight, such as its quarters that
// lie inside the area. NaN counts as unknown, once.
func (h *Histogram) Add(v float64, n int64) {
	if math.IsNaN(v) {
		h.unknown++
		return
	}
	i := h.cut(v)
	if i < len(h.cuts) && h.cuts[i] == v {
		h.cells[2*i+1] += n
	} else {
		h.cells[2*i] += n
	}
}

// AddBytes counts a block of cells of a byte surface.
func (h *Histogram) AddBytes(block []uint8) {
	var counts [256]int64
	for _, b := range block {
		counts[b]++
	}
	for b, n := range counts {
		switch v := suitability.DecodeByte(uint8(b)); {
		case math.IsNaN(v):
			h.unknown += n
		case n > 0:
			h.Add(v, n)
		}
	}
}

// Unknown is how many cells and presences were not known and took no part.
func (h *Histogram) Unknown() int64 { return h.unknown }

// Merge adds the cells of another histogram of the same presences and cuts. The
// presences are not added: both know the same ones.
func (h *Histogram) Merge(o *Histogram) error {
	if !slices.Equal(h.cuts, o.cuts) || !slices.Equal(h.presence, o.presence) {
		return fmt.Errorf("evidence: histograms of different presences or cuts cannot be joined")
	}
	for i, n := range o.cells {
		h.cells[i] += n
	}
	h.unknown += o.unknown
	return nil
}
