package evidence

import "tussock/suitability"

// conclude takes all figures from the counts.
func (a *assessing) conclude(c *groundCounts) error {
	values := a.inRange()
	var err error
	if a.result.InRange, err = a.against(c.inRange, values, c.classes, boyceOptions(a.survey.inRange)); err != nil {
		return err
	}
	a.interval(&a.result.InRange.Index, c.inRange)
	if a.survey.edge {
		edge, err := a.against(c.withEdge, a.values(a.samples, always), c.classesEdge, boyceOptions(a.survey.withEdge))
		if err != nil {
			return err
		}
		a.result.WithEdge = &edge
	}
	if err := a.foldFigures(c); err != nil {
		return err
	}
	if a.result.Judged() {
		a.result.Measures = a.survey.measures.uses(a.subject.Profile, func(i int) bool {
			return a.samples[i].Unused == "" && inside(a.samples[i].InRange)
		})
	}
	a.result.Claim = a.result.claim()
	return nil
}

func (a *assessing) against(h *Histogram, values []float64, classes []int64, o BoyceOptions) (AgainstGround, error) {
	g := AgainstGround{Records: len(values)}
	for _, n := range classes {
		g.Cells += n
	}
	var err error
	if g.Index, err = indexOf(h, len(values), o); err != nil {
		return g, err
	}
	if len(values) < LeastRecords || g.Cells == 0 {
		return g, nil
	}
	if g.AUC, err = h.AUC(); err != nil {
		return g, err
	}
	if err := g.tables(h, values, a.job.Classes); err != nil {
		return g, err
	}
	g.Classes, err = classRatios(values, classes, a.job.Classes)
	return g, err
}

// tables are those by threshold and by area.
func (g *AgainstGround) tables(h *Histogram, values []float64, classes suitability.Classes) error {
	omission, err := OmissionThreshold(values, 0.1)
	if err != nil {
		return err
	}
	rows, err := h.Thresholds(omission)
	if err != nil {
		return err
	}
	g.Omission = rows[0]
	if rows, err = h.Thresholds(); err != nil {
		return err
	}
	g.Gain, _ = MaxGain(rows)
	if g.Thresholds, err = h.Thresholds(classes...); err != nil {
		return err
	}
	g.Lift, err = h.Lift()
	return err
}

func classRatios(values []float64, cells []int64, classes suitability.Classes) ([]SelectionRatio, error) {
	used, area := make([]int64, len(cells)), make([]float64, len(cells))
	for _, v := range values {
		used[classes.Of(v)]++
	}
	for i, n := range cells {
		area[i] = float64(n)
	}
	return SelectionRatios(used, area)
}

// indexOf is the index that fits the number of records, plain and with repeats
// dropped.
func indexOf(h *Histogram, n int, o BoyceOptions) (Index, error) {
	var x Index
	x.BoyceResult, x.Err = judge(h, n, o)
	if !isFigure(x.Err) {
		return x, x.Err
	}
	o.Collapse = true
	dropped, err := judge(h, n, o)
	x.Dropped, x.DroppedErr = dropped.Index, err
	return x, nil
}

func judge(h *Histogram, n int, o BoyceOptions) (BoyceResult, error) {
	if n < FewRecords {
		return h.BoyceSmooth(o)
	}
	return h.Boyce(o)
}

// foldFigures are taken only where there is more than one fold.
func (a *assessing) foldFigures(c *groundCounts) error {
	if a.folds.N < 2 {
		return nil
	}
	for k, h := range c.folds {
		values := a.values(a.held, a.inFold(k))
		f := FoldFigures{Fold: k + 1, Records: len(values), Blocks: a.occupiedIn(k)}
		_, f.Cells = h.tally().totals()
		var err error
		if f.Index, err = indexOf(h, len(values), boyceOptions(a.survey.inRange)); err != nil {
			return err
		}
		if f.AUC, f.AUCErr = h.AUC(); !isFigure(f.AUCErr) {
			return f.AUCErr
		}
		a.result.Folds = append(a.result.Folds, f)
	}
	return nil
}

func (a *assessing) occupiedIn(fold int) int {
	blocks, in := map[int]bool{}, a.inFold(fold)
	for i, s := range a.samples {
		if s.Unused == "" && in(i, s) {
			blocks[a.blocks.At(a.places[i].At)] = true
		}
	}
	return len(blocks)
}
