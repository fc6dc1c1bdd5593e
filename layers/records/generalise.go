package records

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"
	"tussock/layers"
)

// Generaliser blurs the places of sensitive species, as Chapman (2020), Current
// Best Practices for Generalizing Sensitive Species Occurrence Data, asks: to
// the centre of a cell of a fixed grid, never by chance, with words on what was
// done. It is for one goroutine.
type Generaliser struct {
	grid  layers.CRS
	toLL  transforms
	fromL *layers.Transform // WGS84 to the grid; nil for a local grid
}

// NewGeneraliser prepares for records that were read onto a grid's CRS.
func NewGeneraliser(grid layers.CRS) (*Generaliser, error) {
	g := &Generaliser{grid: grid, toLL: transforms{to: layers.WGS84()}}
	if grid.IsLocal() {
		return g, nil
	}
	back, err := layers.NewTransform(layers.WGS84(), grid)
	if err != nil {
		return nil, fmt.Errorf("records: %w", err)
	}
	g.fromL = back
	return g, nil
}

// Close frees what the Generaliser holds.
func (g *Generaliser) Close() {
	if g.fromL != nil {
		_ = g.fromL.Close()
	}
	g.toLL.close()
}

// Generalise is the record as an audience may see it, and whether it may see it
// at all: staff see it as it is; others see the place of a sensitive species as
// the centre of its category's cell, with the uncertainty of that cell, and
// nothing of the row that it was read from; a record of extreme sensitivity is
// withheld. The record handed in is not changed.
func (g *Generaliser) Generalise(r Record, s layers.Sensitivity, a layers.Audience) (Record, bool, error) {
	if err := a.Check(); err != nil {
		return Record{}, false, err
	}
	if a == layers.Staff || s == layers.NotSensitive {
		return r, true, nil
	}
	if s == layers.ExtremeSensitivity {
		return Record{}, false, nil
	}
	blurred := Record{
		ID: r.ID, Species: r.Species, Date: r.Date, Basis: r.Basis, Status: r.Status,
		Count: r.Count, Recorder: r.Recorder, Source: Origin{},
	}
	if err := g.blur(&blurred, r, s.RecordCellDegrees()); err != nil {
		return Record{}, false, fmt.Errorf("records: %s: %w", r.Source, err)
	}
	return blurred, true, nil
}

func (g *Generaliser) blur(to *Record, from Record, cell float64) error {
	if g.grid.IsLocal() {
		return g.blurLocal(to, from, cell)
	}
	at, err := g.lonLat(from)
	if err != nil {
		return err
	}
	// Through whole numbers of cells, so that the centre is the same decimal
	// number whatever it came from.
	centre := orb.Point{cellCentre(at[0], cell, 180), cellCentre(at[1], cell, 90)}
	point, err := onePoint(g.fromL, centre)
	if err != nil {
		return err
	}
	if nowhere(point) {
		return fmt.Errorf("the cell around %g, %g lies nowhere in %s", centre[0], centre[1], g.grid.Name())
	}
	to.Given, to.CRS, to.Point = centre, layers.WGS84(), point
	to.Precision = cell
	radius := cellRadius(centre[1], cell)
	to.describe(from, radius, fmt.Sprintf("%g degree", cell))
	return nil
}

// cellCentre is the middle of the cell that holds v; the cells start at −limit,
// and the last one holds the limit itself.
func cellCentre(v, cell, limit float64) float64 {
	perDegree := math.Round(1 / cell)
	last := 2*limit*perDegree - 1
	i := min(max(math.Floor(math.Round((v+limit)*perDegree*1e6)/1e6), 0), last)
	return (2*i + 1 - 2*limit*perDegree) / (2 * perDegree)
}

// cellRadius is how far the farthest corner of a cell is from its centre, in
// metres: half the diagonal, its sides taken where they are longest, rounded up
// to a whole metre.
func cellRadius(latitude, cell float64) float64 {
	_, east := degreeLengths(math.Max(math.Abs(latitude)-cell/2, 0))
	north, _ := degreeLengths(math.Min(math.Abs(latitude)+cell/2, 90))
	return math.Ceil(math.Hypot(north, east) * cell / 2)
}

// blurLocal does the same on a grid without longitude and latitude, in cells of
// 100 m for each thousandth of a degree (the sizes that Chapman 2020 gives
// beside its degrees).
func (g *Generaliser) blurLocal(to *Record, from Record, degrees float64) error {
	if from.CRS != g.grid {
		return fmt.Errorf("%s is not the grid's local CRS", from.CRS.Name())
	}
	side := math.Round(degrees*1000) * 100
	for i, v := range from.Given {
		to.Given[i] = (math.Floor(v/side) + 0.5) * side
	}
	to.Point, to.CRS = to.Given, g.grid
	to.describe(from, math.Ceil(SquareUncertainty(side)), fmt.Sprintf("%g m", side))
	return nil
}

// describe fills what a generalised record says of itself. The uncertainty
// holds the cell and the circle that the record had.
func (r *Record) describe(from Record, radius float64, cell string) {
	held := "not recorded"
	if from.UncertaintyM != nil {
		radius += math.Ceil(*from.UncertaintyM)
		held = fmt.Sprintf("%.0f m", math.Ceil(*from.UncertaintyM))
	}
	r.UncertaintyM = &radius
	r.Generalised = fmt.Sprintf("Place generalised to the centre of a %s cell of a fixed grid.", cell)
	if from.Generalised != "" { // in words that may name the place
		r.Generalised = "Generalised at its source already. " + r.Generalised
	}
	r.Withheld = fmt.Sprintf("Exact place withheld because the species is sensitive; uncertainty as held: %s.", held)
}

// lonLat is a record's place in WGS84.
func (g *Generaliser) lonLat(r Record) (orb.Point, error) {
	at, err := g.toLL.point(r.CRS, r.Given)
	if err == nil && nowhere(at) {
		err = fmt.Errorf("the place %v has no longitude and latitude", r.Given)
	}
	return at, err
}
