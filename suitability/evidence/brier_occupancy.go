package evidence

import "math"

// occupied is what the likelihood of a class needs of its sites.
type occupied struct {
	sites, found   int
	finds, missed  int // over visits to sites with a find
	blanks         []blankSites
	repeatedVisits bool
}

// blankSites are sites without a find that had the same number of visits.
type blankSites struct{ visits, sites int }

func (o *occupied) count(s SiteVisits) {
	o.sites++
	o.repeatedVisits = o.repeatedVisits || s.Visits > 1
	if s.Finds > 0 {
		o.found++
		o.finds += s.Finds
		o.missed += s.Visits - s.Finds
		return
	}
	for i := range o.blanks {
		if o.blanks[i].visits == s.Visits {
			o.blanks[i].sites++
			return
		}
	}
	o.blanks = append(o.blanks, blankSites{s.Visits, 1})
}

// detectable: with single visits only, ψ and p come as their product; without a
// find, both may be anything.
func detectable(groups []occupied) bool {
	found, repeated := 0, false
	for _, g := range groups {
		found += g.found
		repeated = repeated || g.repeatedVisits
	}
	return found > 0 && repeated
}

// seen is the chance that some of several visits finds what is there.
func seen(p float64, visits int) float64 { return 1 - math.Pow(1-p, float64(visits)) }

// xlogy is x·log y with 0·log 0 = 0.
func xlogy(x, y float64) float64 {
	if x == 0 {
		return 0
	}
	return x * math.Log(y)
}

// logLik of a class at ψ and p.
func (o *occupied) logLik(psi, p float64) float64 {
	l := xlogy(float64(o.found), psi) + xlogy(float64(o.finds), p) + xlogy(float64(o.missed), 1-p)
	for _, b := range o.blanks {
		l += xlogy(float64(b.sites), 1-psi*seen(p, b.visits))
	}
	return l
}

// bestPsi is the most likely ψ at p: the derivative falls all the way.
func (o *occupied) bestPsi(p float64) float64 {
	chances := make([]float64, len(o.blanks))
	for i, b := range o.blanks {
		chances[i] = seen(p, b.visits)
	}
	slope := func(psi float64) float64 {
		d := float64(o.found) / psi
		for i, chance := range chances {
			d -= float64(o.blanks[i].sites) * chance / (1 - psi*chance)
		}
		return d
	}
	switch {
	case o.found == 0:
		return 0
	case slope(1) >= 0:
		return 1
	}
	low, high := 0.0, 1.0
	for range 50 {
		if middle := (low + high) / 2; slope(middle) > 0 {
			low = middle
		} else {
			high = middle
		}
	}
	return (low + high) / 2
}

// profileOf is the greatest log-likelihood at p, with ψ of one class held; −1
// holds none.
func profileOf(groups []occupied, p float64, held int, psi float64) float64 {
	l := 0.0
	for k := range groups {
		g := &groups[k]
		at := psi
		if k != held {
			at = g.bestPsi(p)
		}
		l += g.logLik(at, p)
	}
	return l
}

// mostLikelyDetection looks on a grid, since there may be two tops, and then
// between the neighbours of the best by golden section.
func mostLikelyDetection(logLik func(p float64) float64) (p, best float64) {
	const cells = 100
	at, best := 0, math.Inf(-1)
	for i := range cells {
		if l := logLik((float64(i) + 0.5) / cells); l > best {
			at, best = i, l
		}
	}
	low, high := max(1e-9, (float64(at)-0.5)/cells), min(1, (float64(at)+1.5)/cells)
	ratio := (math.Sqrt(5) - 1) / 2
	for high-low > 1e-10 {
		a, b := high-ratio*(high-low), low+ratio*(high-low)
		if logLik(a) >= logLik(b) {
			high = b
		} else {
			low = a
		}
	}
	p = (low + high) / 2
	return p, logLik(p)
}
