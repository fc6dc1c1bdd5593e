package evidence

// Confusion is a table of four: what a map says at a threshold against what was
// found. A map says yes where its value is at least the threshold.
type Confusion struct {
	Hits             int64 // said yes, found
	FalseAlarms      int64 // said yes, not found
	Misses           int64 // said no, found
	CorrectNegatives int64 // said no, not found
}

func (c Confusion) total() int64 { return c.Hits + c.FalseAlarms + c.Misses + c.CorrectNegatives }

// share is a/(a + b); not ok where both are 0.
func share(a, b int64) (float64, bool) {
	if a+b == 0 {
		return 0, false
	}
	return float64(a) / float64(a+b), true
}

// Accuracy is the share of all that the map says right. Where finds are rare,
// "always no" scores high: it is not a measure of skill (Finley's tornadoes,
// 1884; Murphy 1996, Weather and Forecasting 11:3-20).
func (c Confusion) Accuracy() (float64, bool) {
	return share(c.Hits+c.CorrectNegatives, c.FalseAlarms+c.Misses)
}

// Sensitivity is the share of finds that the map says.
func (c Confusion) Sensitivity() (float64, bool) { return share(c.Hits, c.Misses) }

// Specificity is the share of blanks that the map says.
func (c Confusion) Specificity() (float64, bool) { return share(c.CorrectNegatives, c.FalseAlarms) }

// TSS is sensitivity + specificity − 1, the true skill statistic: it does not
// depend on how common the species is (Allouche, Tsoar and Kadmon 2006, Journal
// of Applied Ecology 43:1223-1232).
func (c Confusion) TSS() (float64, bool) {
	sensitivity, finds := c.Sensitivity()
	specificity, blanks := c.Specificity()
	return sensitivity + specificity - 1, finds && blanks
}

// CSI is hits / (hits + false alarms + misses), the critical success index.
func (c Confusion) CSI() (float64, bool) { return share(c.Hits, c.FalseAlarms+c.Misses) }

// Kappa is agreement beyond chance, which does depend on how common the species
// is. See [Kappa] for its standard error.
func (c Confusion) Kappa() (float64, bool) {
	k, err := Kappa([][]int64{{c.Hits, c.FalseAlarms}, {c.Misses, c.CorrectNegatives}})
	return k.Kappa, err == nil
}

// ThresholdRow is a threshold against visits with and without finds.
type ThresholdRow struct {
	Threshold   float64
	Table       Confusion
	Sensitivity float64
	Specificity float64
	TSS         float64
	Kappa       float64
	HasKappa    bool    // false where chance alone agrees fully
	Share       float64 // of visits where the map says yes
}

// Thresholds is the table of presence against absence, by rising threshold: at
// the values asked for, or at each distinct presence, where the greatest TSS must
// lie. No presence or no absence is [ErrUndefined]. For background cells, which
// are not absences, see [AreaThresholds].
func Thresholds(presence, absence []float64, at ...float64) ([]ThresholdRow, error) {
	t, err := tallyOf(presence, absence)
	if err == nil {
		err = t.both()
	}
	if err != nil {
		return nil, err
	}
	rows := make([]ThresholdRow, 0, len(at))
	for _, v := range t.thresholds(at) {
		rows = append(rows, t.thresholdRow(v))
	}
	return rows, nil
}

func (t *tally) thresholdRow(v float64) ThresholdRow {
	c := t.confusion(v)
	r := ThresholdRow{Threshold: v, Table: c}
	r.Sensitivity, _ = c.Sensitivity()
	r.Specificity, _ = c.Specificity()
	r.TSS, _ = c.TSS()
	r.Kappa, r.HasKappa = c.Kappa()
	r.Share, _ = share(c.Hits+c.FalseAlarms, c.Misses+c.CorrectNegatives)
	return r
}

// confusion says yes from v upwards.
func (t *tally) confusion(v float64) Confusion {
	m, n := t.totals()
	i := t.below(v)
	return Confusion{
		Hits: m - t.presenceTo[i], Misses: t.presenceTo[i],
		FalseAlarms: n - t.backgroundTo[i], CorrectNegatives: t.backgroundTo[i],
	}
}

// tiedSkill is the difference in skill that rounding can make.
const tiedSkill = 1e-12

// MaxTSS is the row with the greatest TSS; of several the lowest threshold, which
// misses least. Not ok without rows.
func MaxTSS(rows []ThresholdRow) (best ThresholdRow, ok bool) {
	for i, r := range rows {
		if i == 0 || r.TSS > best.TSS+tiedSkill {
			best = r
		}
	}
	return best, len(rows) > 0
}
