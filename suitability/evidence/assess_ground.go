package evidence

import (
	"context"

	"tussock/layers"
	"tussock/suitability"
)

// AgainstGround is a map's figures for records against the ground, which is
// every cell that is assessed, not excluded and of the range that is asked for.
type AgainstGround struct {
	Records int
	Cells   int64
	Index   Index // its Err says why there are no other figures: too few records
	AUC     AUCResult

	// Thresholds are the breaks between classes. Gain is the row with the
	// greatest gain of all, Omission the one that a tenth of the records lies
	// below.
	Thresholds     []AreaRow
	Gain, Omission AreaRow
	Lift           []LiftRow
	Classes        []SelectionRatio // by class of suitability
}

// Index is a continuous Boyce index, or why there is none.
type Index struct {
	BoyceResult
	Err error // wraps [ErrTooFew] or [ErrUndefined]; nil where there is an index

	// Dropped is the index with windows dropped that repeat the ratio before.
	Dropped    float64
	DroppedErr error

	// Low and High hold the middle 95 of 100 indices of blocks that were drawn
	// again; HasInterval is false where fewer than [LeastBlocks] hold records.
	Low, High   float64
	HasInterval bool
	Draws       int // with an index or undefined, which counts as 0
	Undefined   int // of them
}

// FoldFigures are a map's figures in one fold: its records, against its ground in
// documented and uncertain range, by the map made without them.
type FoldFigures struct {
	Fold    int // from 1
	Blocks  int // with records
	Records int
	Cells   int64
	Index   Index
	AUC     AUCResult
	AUCErr  error
}

// groundCounts are the cells of the ground, counted.
type groundCounts struct {
	inRange, withEdge *Histogram
	folds             []*Histogram
	classes           []int64 // cells in range by class
	classesEdge       []int64
}

// boyceOptions are those of the whole assessment: the observed domain.
func boyceOptions(d Domain) BoyceOptions {
	if !(d.Low < d.High) {
		return BoyceOptions{Domain: Scale} // whatever it is, every value is alike
	}
	return BoyceOptions{Domain: d}
}

// count goes through the ground and counts its cells against the records.
func (a *assessing) count(ctx context.Context) (*groundCounts, error) {
	c, err := a.newCounts()
	if err != nil {
		return nil, err
	}
	err = a.walk(ctx, a.ownOuts(), func(list []walked) {
		all, folds := list[0], list[len(list)-1]
		all.cells(func(col, row int, s float32, in suitability.Standing) { a.countCell(c, all.Measured, col, row, s, in) })
		folds.cells(func(col, row int, s float32, in suitability.Standing) {
			if in != suitability.Edge {
				c.folds[a.folds.Of(col, row)].Add(float64(s), 1)
			}
		})
	})
	return c, err
}

func (a *assessing) countCell(c *groundCounts, measured []layers.Block, col, row int, s float32, in suitability.Standing) {
	class := a.job.Classes.OfFloat32(s)
	c.withEdge.Add(float64(s), 1)
	c.classesEdge[class]++
	if in != suitability.Edge {
		c.inRange.Add(float64(s), 1)
		c.classes[class]++
		a.survey.measures.count(measured, col, row)
	}
}

func (a *assessing) newCounts() (*groundCounts, error) {
	c := &groundCounts{classes: make([]int64, len(a.job.Classes)+1), classesEdge: make([]int64, len(a.job.Classes)+1)}
	inRange, withEdge := boyceOptions(a.survey.inRange), boyceOptions(a.survey.withEdge)
	var err error
	if c.inRange, err = NewHistogram(a.inRange(), inRange.Cuts(), a.job.Classes); err != nil {
		return nil, err
	}
	if c.withEdge, err = NewHistogram(a.values(a.samples, always), withEdge.Cuts(), a.job.Classes); err != nil {
		return nil, err
	}
	for k := range a.folds.N {
		h, err := NewHistogram(a.values(a.held, a.inFold(k)), inRange.Cuts())
		if err != nil {
			return nil, err
		}
		c.folds = append(c.folds, h)
	}
	return c, nil
}

func always(int, Sample) bool { return true }

// inRange are the values of the records in documented and uncertain range.
func (a *assessing) inRange() []float64 {
	return a.values(a.samples, func(_ int, s Sample) bool { return inside(s.InRange) })
}

func (a *assessing) inFold(k int) func(int, Sample) bool {
	return func(i int, s Sample) bool {
		return inside(s.InRange) && a.folds.Of(a.job.Grid.CellAt(a.places[i].At)) == k
	}
}

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
