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
