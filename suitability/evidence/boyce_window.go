package evidence

import "slices"

// edgeSlack is what a closed window reaches beyond its edges, as a share of the
// domain: less than any step of a map, more than the rounding of an edge or of a
// value to float32, by which 0.1 would lie outside the window that ends there.
const edgeSlack = 1e-7

// window is the closed interval of start k, and its middle.
func (o BoyceOptions) window(d Domain, k int) (low, mid, high float64) {
	width := d.High - d.Low
	start := d.Low + width*(1-o.Window)*float64(k)/float64(o.Starts-1)
	return start - edgeSlack*width, start + o.Window*width/2, start + (o.Window+edgeSlack)*width
}

// Cuts are the values at which a [Histogram] of floats must be cut to answer for
// these options; none for the observed domain, which must be named.
func (o BoyceOptions) Cuts() []float64 {
	if o.Domain == Observed || o.Check() != nil {
		return nil
	}
	return append(o.edges(o.Domain), o.steps(o.Domain)...)
}

func (o BoyceOptions) edges(d Domain) []float64 {
	o = o.filled()
	var edges []float64
	for k := range o.Starts {
		low, _, high := o.window(d, k)
		edges = append(edges, low, high)
	}
	return edges
}

func (t *tally) boyce(o BoyceOptions) (BoyceResult, error) {
	o, err := t.readyForBoyce(o)
	m, _ := t.totals()
	r := BoyceResult{Method: MovingWindow, Presences: m, Domain: o.Domain, Window: o.Window, Collapsed: o.Collapse}
	if err != nil {
		return r, err
	}
	for k := range o.Starts {
		low, mid, high := o.window(o.Domain, k)
		p, a := t.within(low, high)
		r.Curve = append(r.Curve, BoycePoint{Mid: mid, Presences: p, Cells: a})
	}
	m, n := t.totals()
	return r.correlated(float64(m), float64(n))
}

// correlated skips windows without a cell, fills the ratios in and takes the
// correlation.
func (r BoyceResult) correlated(presences, cells float64) (BoyceResult, error) {
	all := len(r.Curve)
	r.Curve = slices.DeleteFunc(r.Curve, func(p BoycePoint) bool { return p.Cells == 0 })
	r.Empty = all - len(r.Curve)
	for i := range r.Curve {
		p := &r.Curve[i]
		p.Ratio = float64(p.Presences) / float64(p.Cells) * (cells / presences)
	}
	return r.ranked(comparePoints)
}

// ranked takes the correlation of a curve whose ratios are put in order by
// compare.
func (r BoyceResult) ranked(compare func(a, b BoycePoint) int) (BoyceResult, error) {
	curve := r.Curve
	if r.Collapsed {
		curve = slices.CompactFunc(slices.Clone(curve), func(a, b BoycePoint) bool { return compare(a, b) == 0 })
	}
	r.Used = len(curve)
	index, ok := spearmanRising(curve, compare)
	if !ok {
		return r, undefined("a curve of %d windows that does not vary enough has no rank correlation", len(curve))
	}
	r.Index = index
	return r, nil
}
