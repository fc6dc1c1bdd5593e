package suitability

import (
	"errors"
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"tussock/layers"
)

// CellExplanation is why one cell shows what it shows for one species.
type CellExplanation struct {
	Explanation
	Species  string
	Profile  *Profile // as the audience's maps are made by: see [Profile.For]
	Col, Row int
	Centre   orb.Point // in the grid's CRS
	InRange  Standing  // by the documented range alone
	Standing Standing  // as published
	// EdgeDistance is how far the cell's centre lies from documented or
	// uncertain range, metres; NaN where that is not within the edge distance.
	EdgeDistance float64
	Public       float64 // the public range factor; NaN shows nothing
	Planning     float64 // the planning range factor
	Shown        float64 // suitability as this audience sees it at full detail; NaN for nothing
	Class        int     // of Shown; −1 for nothing
}

// ErrOutside is returned for a place that lies outside the grid.
var ErrOutside = errors.New("suitability: outside the area")

// ErrWithheld is returned where an audience may not see a species in such
// detail.
var ErrWithheld = errors.New("suitability: withheld")

// ExplainCell evaluates one cell of one species by the reference path, in
// float64, from its layers.
func (j *Job) ExplainCell(s Subject, p orb.Point) (*CellExplanation, error) {
	if !j.MayExplain(s) {
		return nil, fmt.Errorf("%w: %s, for the %s audience", ErrWithheld, s.Profile.ID, j.Audience)
	}
	col, row := j.Grid.CellAt(p)
	w := layers.Window{Col: col, Row: row, Cols: 1, Rows: 1}
	if !j.Grid.Window().Contains(w) {
		return nil, fmt.Errorf("%w: %.1f %.1f", ErrOutside, p[0], p[1])
	}
	if err := s.Profile.checkLeft(j.Audience); err != nil {
		return nil, err
	}
	s = s.For(j.Audience)
	ground := newGround(j, w, []*Profile{s.Profile})
	ground.evaluate = Subject.offerSlowly
	measured, err := ground.measures(s.Profile, w)
	if err != nil {
		return nil, err
	}
	values := make([]float64, len(measured))
	for i, b := range measured {
		values[i] = valueAt(b, col, row)
	}
	e, err := s.Profile.Explain(values)
	if err != nil {
		return nil, err
	}
	x := &CellExplanation{Explanation: e, Species: s.Profile.ID, Profile: s.Profile, Col: col, Row: row, Centre: j.Grid.Centre(col, row)}
	x.place(j, s, w)
	return x, nil
}

// MayExplain tells whether the job's audience may see single cells of a species.
func (j *Job) MayExplain(s Subject) bool {
	metres, shown := j.mapCell(s.Profile)
	return shown && metres <= j.Grid.Cell
}

// valueAt is a block's cell as a number: a class by its code.
func valueAt(b layers.Block, col, row int) float64 {
	if !b.IsCodes() {
		return float64(b.Value(col, row))
	}
	if code := b.Code(col, row); code != layers.NoClass {
		return float64(code)
	}
	return math.NaN()
}

// place adds what the documented range says of the cell.
func (x *CellExplanation) place(j *Job, s Subject, w layers.Window) {
	inRange, distance := s.Range.BlockAndDistance(w)
	x.InRange = Standing(inRange.Code(w.Col, w.Row))
	x.EdgeDistance = math.NaN()
	if x.InRange == Edge {
		x.EdgeDistance = distance[0]
	}
	x.Standing = StandingAt(x.InRange, !math.IsNaN(x.S), x.Excluded)
	x.Public = PublicFactor(x.InRange, s.Profile.ShowHistoric)
	x.Planning = PlanningFactor(x.InRange, s.Profile.ShowHistoric, x.EdgeDistance, s.Profile.EdgeM)
	x.Shown = float64(shown(float32(x.S), float32(x.Public)))
	x.Class = j.Classes.Of(x.Shown)
}
