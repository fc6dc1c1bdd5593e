package layers

import (
	"errors"

	"github.com/paulmach/orb"
)

// chunkMetres is about the longest side of a chunk of cells that are taken to
// be of one size.
const chunkMetres = 2000

// CellAreas are the areas of a grid's cells on the ellipsoid of its CRS: a map
// stretches ground by an amount that changes over it, by up to 0.3 % within one
// UTM zone. Cells are taken in square chunks of [CellAreas.Side] cells, counted from
// the grid's north-west corner and cut off at its east and south edges. All cells
// of a chunk have the same area, an equal share of the chunk's, so that areas of
// chunks add up to that of the grid; within a chunk the true ones differ
// by less than 2 in 100,000. In a local CRS areas are plane.
//
// It serves one goroutine. Close it.
type CellAreas struct {
	grid   Grid
	side   int
	survey *surveyor // nil in a local CRS
}

// NewCellAreas measures the cells of a grid.
func NewCellAreas(g Grid) (*CellAreas, error) {
	a := &CellAreas{grid: g, side: 64}
	for a.side > 1 && float64(a.side)*g.Cell > chunkMetres {
		a.side /= 2
	}
	if g.CRS.IsLocal() {
		return a, nil
	}
	var err error
	a.survey, err = newSurveyor(g.CRS)
	return a, err
}

// Side is the side of a chunk in cells: a power of two, at most 64.
func (a *CellAreas) Side() int { return a.side }

// Cell is the area in square metres of each cell of the chunk with the given
// number, counted in chunks from the north-west corner. The chunk must have cells
// in the grid.
func (a *CellAreas) Cell(col, row int) (float64, error) {
	w := Window{Col: col * a.side, Row: row * a.side, Cols: a.side, Rows: a.side}.Intersect(a.grid.Window())
	if w.Empty() {
		return 0, errors.New("layers: a chunk beyond the grid has no cells")
	}
	if a.survey == nil {
		unit := a.grid.CRS.unit
		return a.grid.Cell * a.grid.Cell * unit * unit, nil
	}
	b := a.grid.Bound(w)
	area, err := a.survey.ring(orb.Ring{b.Min, {b.Max[0], b.Min[1]}, b.Max, {b.Min[0], b.Max[1]}, b.Min})
	return area / float64(w.Cells()), err
}

// Close lets go of the transform.
func (a *CellAreas) Close() error {
	if a.survey == nil {
		return nil
	}
	return a.survey.transform.Close()
}
