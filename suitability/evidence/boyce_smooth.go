package evidence

import (
	"cmp"
	"math"
	"slices"
	"sort"
)

const (
	smoothSteps   = 1000 // the domain is cut into as many steps before it is smoothed
	leastSpread   = 0.01 // a bandwidth is not narrower than this share of the domain
	smoothTie     = 1e-9 // relative: ratios of sums of exponentials are equal to this
	kernelReaches = 8    // bandwidths, beyond which a normal density is under 2e-14 of its height
)

// BoyceSmooth is the index for few records, where windows hold too few to rank:
// the ratio of two Gaussian kernel densities, of presences and of cells, at
// o.Starts equally spaced points of the domain, then Spearman's rank correlation
// as in [Boyce]. Both densities have one bandwidth, so that what leaks over the
// ends of the domain cancels: Silverman's rule for the m presences, 0.9 ·
// min(s, IQR/1.34) · m^(−1/5) (Silverman 1986, Density Estimation, equation
// 3.31), but at least a hundredth of the domain. Values are taken to the nearest
// thousandth of the domain first. Points where the cells' kernel weighs less than
// one cell are skipped. The kernel, its floor and its grid are own choices; that
// smoothed estimates hold where windows degrade is the finding of an article on
// smoothing estimators of the index in Ecography, 2024, of which the abstract was
// read.
func BoyceSmooth(presence, background []float64, o BoyceOptions) (BoyceResult, error) {
	t, err := tallyOf(presence, background)
	if err != nil {
		return BoyceResult{}, err
	}
	return t.boyceSmooth(o)
}

// steps are the edges between the thousandths of the domain, and its two ends.
func (o BoyceOptions) steps(d Domain) []float64 {
	width := d.High - d.Low
	edges := []float64{d.Low - edgeSlack*width}
	for k := range smoothSteps {
		edges = append(edges, d.Low+width*(float64(k)+0.5)/smoothSteps)
	}
	return append(edges, d.High+edgeSlack*width)
}

func (t *tally) boyceSmooth(o BoyceOptions) (BoyceResult, error) {
	o, err := t.readyForBoyce(o)
	m, n := t.totals()
	r := BoyceResult{Method: Smoothed, Presences: m, Domain: o.Domain, Window: o.Window, Collapsed: o.Collapse}
	if err != nil {
		return r, err
	}
	width := o.Domain.High - o.Domain.Low
	r.Bandwidth = max(t.silverman(), leastSpread*width)
	presences, cells := t.stepped(o.steps(o.Domain))
	for k := range o.Starts {
		at := float64(k) / float64(o.Starts-1)
		p, a := kernelSums(presences, cells, at*smoothSteps, r.Bandwidth/width*smoothSteps)
		if a < 1 {
			r.Empty++
			continue
		}
		r.Curve = append(r.Curve, BoycePoint{Mid: o.Domain.Low + at*width, Ratio: p / float64(m) / (a / float64(n))})
	}
	return r.ranked(compareLevels(r.Curve))
}

// stepped counts presences and cells by thousandths.
func (t *tally) stepped(edges []float64) (presences, cells []float64) {
	last := len(edges) - 1
	for k := range last {
		from, to := t.below(edges[k]), t.below(edges[k+1])
		if k+1 == last {
			to = t.upTo(edges[last])
		}
		presences = append(presences, float64(t.presenceTo[to]-t.presenceTo[from]))
		cells = append(cells, float64(t.backgroundTo[to]-t.backgroundTo[from]))
	}
	return presences, cells
}

// kernelSums add exp(−½((x − k)/h)²) over all steps k, times what each holds.
func kernelSums(presences, cells []float64, x, h float64) (p, a float64) {
	from := max(0, int(x-kernelReaches*h))
	to := min(len(cells)-1, int(x+kernelReaches*h)+1)
	for k := from; k <= to; k++ {
		z := (x - float64(k)) / h
		w := math.Exp(-z * z / 2)
		p, a = p+w*presences[k], a+w*cells[k]
	}
	return p, a
}

// compareLevels orders points by their ratios, of which those that differ by
// rounding alone share a level.
func compareLevels(curve []BoycePoint) func(a, b BoycePoint) int {
	ratios := make([]float64, len(curve))
	for i, p := range curve {
		ratios[i] = p.Ratio
	}
	slices.Sort(ratios)
	levels := ratios[:0]
	for _, v := range ratios {
		if len(levels) == 0 || v > levels[len(levels)-1]*(1+smoothTie) {
			levels = append(levels, v)
		}
	}
	level := func(p BoycePoint) int {
		return sort.Search(len(levels), func(i int) bool { return levels[i] > p.Ratio })
	}
	return func(a, b BoycePoint) int { return cmp.Compare(level(a), level(b)) }
}

// silverman is 0.9 · min(s, IQR/1.34) · m^(−1/5) of the presences; where one of
// the two spreads is 0 the other is taken.
func (t *tally) silverman() float64 {
	m, _ := t.totals()
	spread := t.presenceSD()
	if iqr := (t.presenceQuantile(0.75) - t.presenceQuantile(0.25)) / 1.34; iqr > 0 && (iqr < spread || spread == 0) {
		spread = iqr
	}
	return 0.9 * spread * math.Pow(float64(m), -0.2)
}

func (t *tally) presenceSD() float64 {
	m, _ := t.totals()
	var sum, squares float64
	for i, n := range t.presence {
		sum += float64(n) * t.values[i]
	}
	mean := sum / float64(m)
	for i, n := range t.presence {
		squares += float64(n) * (t.values[i] - mean) * (t.values[i] - mean)
	}
	return math.Sqrt(squares / float64(max(1, m-1)))
}

// presenceQuantile interpolates between order statistics at (m − 1)·q (type 7 of
// Hyndman and Fan 1996, The American Statistician 50:361-365).
func (t *tally) presenceQuantile(q float64) float64 {
	m, _ := t.totals()
	at := float64(m-1) * q
	low := math.Floor(at)
	a, b := t.presenceAt(int64(low)), t.presenceAt(min(m-1, int64(low)+1))
	return a + (b-a)*(at-low)
}

// presenceAt is the presence of rank k, from 0.
func (t *tally) presenceAt(k int64) float64 {
	return t.values[sort.Search(len(t.values), func(i int) bool { return t.presenceTo[i+1] > k })]
}
