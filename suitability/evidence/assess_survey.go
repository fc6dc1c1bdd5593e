package evidence

import (
	"cmp"
	"context"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"tussock/suitability"
)

// surveySample is how many cells at most, on a regular lattice, the breaks of
// tenths are taken from.
const surveySample = 250_000

// survey is what must be known of the ground before its cells are counted.
type survey struct {
	step     int // of the lattice, cells
	cells    []surveyed
	measures *measuring
	edge     bool // some of the ground is the range's edge

	inRange, withEdge Domain // the observed range of habitat
}

// surveyed is a cell of the lattice, within range.
type surveyed struct {
	col, row int
	s        float32
}

// takeSurvey goes through the ground once, for the range of the variogram, the
// observed range of habitat and the breaks of tenths of each measure. It looks at
// the map as it would be without records.
func (a *assessing) takeSurvey(ctx context.Context) error {
	subject := subjectUnrecorded(a.subject)
	g := a.job.Grid
	a.survey = survey{
		step:     max(1, int(math.Ceil(math.Sqrt(float64(g.Cols)*float64(g.Rows)/surveySample)))),
		measures: newMeasuring(a.subject.Profile, g, a.places), inRange: nowhere, withEdge: nowhere,
	}
	err := a.walk(ctx, []suitability.Subject{subject}, func(list []walked) { a.survey.add(list[0]) })
	if err != nil {
		return err
	}
	a.survey.measures.cut()
	a.result.Variogram = a.survey.variogram(g.Centre)
	a.result.Side = blockSide(g, a.subject.Profile.Facts.Movement.Effect, a.result.Variogram)
	if a.options.Side > 0 {
		a.result.Side.Metres, a.result.Side.Stated = a.options.Side, true
	}
	a.blocks = NewBlocks(g, a.result.Side.Metres)
	a.result.Side.Metres = a.blocks.Side()
	a.result.Blocks = a.blocks.Count()
	return nil
}

// nowhere is a domain that holds no value yet.
var nowhere = Domain{math.Inf(1), math.Inf(-1)}

func (d *Domain) hold(v float64) { d.Low, d.High = min(d.Low, v), max(d.High, v) }

func (s *survey) add(w walked) {
	w.cells(func(col, row int, v float32, in suitability.Standing) {
		s.withEdge.hold(float64(v))
		if in == suitability.Edge {
			s.edge = true
			return
		}
		s.inRange.hold(float64(v))
		if col%s.step == 0 && row%s.step == 0 {
			s.cells = append(s.cells, surveyed{col, row, v})
			s.measures.survey(w.Measured, col, row)
		}
		s.measures.span(w.Measured, col, row)
	})
}

// variogram is of some thousand of the lattice's cells, in an order of their own,
// since windows come in any.
func (s *survey) variogram(centre func(col, row int) orb.Point) Variogram {
	slices.SortFunc(s.cells, func(a, b surveyed) int { return cmp.Or(a.row-b.row, a.col-b.col) })
	every := max(1, (len(s.cells)+variogramSample-1)/variogramSample)
	var places []orb.Point
	var values []float64
	for i := 0; i < len(s.cells); i += every {
		places = append(places, centre(s.cells[i].col, s.cells[i].row))
		values = append(values, float64(s.cells[i].s))
	}
	s.cells = nil
	return newVariogram(places, values)
}

// spans finds the observed range of habitat as the records are judged by it.
// Without records in the profile that is the survey's.
func (a *assessing) spans(ctx context.Context) error {
	s := &a.survey
	if a.result.Rebuilt {
		s.inRange, s.withEdge = nowhere, nowhere
		err := a.walk(ctx, a.ownOuts(), func(list []walked) {
			for _, w := range list {
				w.cells(func(_, _ int, v float32, in suitability.Standing) {
					s.withEdge.hold(float64(v))
					if in != suitability.Edge {
						s.inRange.hold(float64(v))
					}
				})
			}
		})
		if err != nil {
			return err
		}
	}
	for _, sample := range slices.Concat(a.samples, a.held) {
		if sample.Unused == "" {
			s.withEdge.hold(sample.Habitat)
			if inside(sample.InRange) {
				s.inRange.hold(sample.Habitat)
			}
		}
	}
	return nil
}
