package evidence

import "math"

// AUCCaveat stands beside every AUC against background cells.
const AUCCaveat = "AUC against background is not accuracy: background cells may hold the species, it rises where records are few and clumped or the area is wide, and it says nothing about calibration."

// z95 bounds the middle 95 % of the normal distribution.
const z95 = 1.959963984540054

// AUCResult is the area under the receiver operating characteristic curve: the
// chance that a presence's value exceeds a background cell's, half of ties
// counted.
type AUCResult struct {
	Value       float64
	Presences   int64
	Background  int64
	HasInterval bool // false where the variance cannot be told: fewer than 2 on a side, perfect separation, all tied

	// DeLongSE is the standard error from the spread of the placements (DeLong,
	// DeLong and Clarke-Pearson 1988, Biometrics 44:837-845); Low and High are
	// Value ± 1.96 of it, cut at 0 and 1.
	DeLongSE  float64
	Low, High float64

	// HanleySE is the standard error of Hanley and McNeil (1982), Radiology
	// 143:29-36, with Q1 and Q2 taken from the values themselves.
	HanleySE float64
}

// AUC compares the values of presences with those of the background, or of
// absences: U / (m·n) of Mann and Whitney (1947), Annals of Mathematical
// Statistics 18:50-60. Ties are exact. O(n log n). No background or no presence
// is [ErrUndefined].
func AUC(presence, background []float64) (AUCResult, error) {
	t, err := tallyOf(presence, background)
	if err != nil {
		return AUCResult{}, err
	}
	return t.auc()
}

func (t *tally) auc() (AUCResult, error) {
	if err := t.both(); err != nil {
		return AUCResult{}, err
	}
	m, n := t.totals()
	r := AUCResult{Presences: m, Background: n, Value: t.mannWhitney()}
	r.HanleySE = t.hanley(r.Value)
	if r.DeLongSE, r.HasInterval = t.deLong(r.Value); r.HasInterval {
		r.Low = max(0, r.Value-z95*r.DeLongSE)
		r.High = min(1, r.Value+z95*r.DeLongSE)
	}
	return r, nil
}

// mannWhitney is U/(m·n). Twice U is a sum of whole numbers: exact as long as it
// stays below 2⁵³, and within an ulp per distinct value beyond.
func (t *tally) mannWhitney() float64 {
	twice := 0.0
	for i, p := range t.presence {
		twice += float64(p) * float64(t.backgroundTo[i]+t.backgroundTo[i+1])
	}
	m, n := t.totals()
	return twice / 2 / float64(m) / float64(n)
}

// deLong is sqrt(S10/m + S01/n), where S10 is the variance of the presences'
// placements (the share of background below each, half of ties) and S01 that of
// the background's.
func (t *tally) deLong(auc float64) (se float64, ok bool) {
	m, n := t.totals()
	if m < 2 || n < 2 {
		return 0, false
	}
	var s10, s01 float64
	for i := range t.values {
		v10 := float64(t.backgroundTo[i]+t.backgroundTo[i+1]) / 2 / float64(n)
		v01 := 1 - float64(t.presenceTo[i]+t.presenceTo[i+1])/2/float64(m)
		s10 += float64(t.presence[i]) * (v10 - auc) * (v10 - auc)
		s01 += float64(t.background[i]) * (v01 - auc) * (v01 - auc)
	}
	variance := s10/float64(m-1)/float64(m) + s01/float64(n-1)/float64(n)
	return math.Sqrt(variance), variance > 1e-30
}

// hanley is sqrt[(A(1 − A) + (m − 1)(Q1 − A²) + (n − 1)(Q2 − A²)) / (m·n)], Q1 the
// chance that two presences both exceed one background cell, Q2 that one
// presence exceeds two background cells; of three that are tied two ways a
// third counts.
func (t *tally) hanley(auc float64) float64 {
	mi, ni := t.totals()
	m, n := float64(mi), float64(ni)
	var q1, q2 float64
	for i := range t.values {
		p, b := float64(t.presence[i]), float64(t.background[i])
		above, below := m-float64(t.presenceTo[i+1]), float64(t.backgroundTo[i])
		q1 += b * (above*above + above*p + p*p/3)
		q2 += p * (below*below + below*b + b*b/3)
	}
	q1, q2 = q1/n/m/m, q2/m/n/n
	variance := (auc*(1-auc) + (m-1)*(q1-auc*auc) + (n-1)*(q2-auc*auc)) / (m * n)
	return math.Sqrt(max(0, variance))
}
