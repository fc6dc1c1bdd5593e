package evidence

import (
	"math"

	"github.com/paulmach/orb"

	"tussock/layers"
)

// LeastBlock is the least side of a block, in metres (own choice: an
// assumption).
const LeastBlock = 2000.0

// effectsApart is how many scales of effect a block is wide, so that most of it
// is not felt from the next one (own choice: an assumption).
const effectsApart = 4

// Blocks part a grid into squares of whole cells, from its north-west corner
// on; those at the south and east rims may be smaller. Judging by blocks keeps
// neighbours together, since places near by are alike and a map that is tried
// next to where it was made looks better than it is (Roberts et al. 2017,
// Ecography 40:913-929).
type Blocks struct {
	Grid  layers.Grid
	Cells int // side of a block, in cells
}

// NewBlocks are blocks of at least that side, in metres.
func NewBlocks(g layers.Grid, side float64) Blocks {
	return Blocks{Grid: g, Cells: max(1, g.ReachCells(side))}
}

// Side is the side of a block, in metres.
func (b Blocks) Side() float64 { return float64(b.Cells) * b.Grid.Cell }

func (b Blocks) cols() int { return (b.Grid.Cols + b.Cells - 1) / b.Cells }
func (b Blocks) rows() int { return (b.Grid.Rows + b.Cells - 1) / b.Cells }

// Count is how many blocks there are.
func (b Blocks) Count() int { return b.cols() * b.rows() }

// Of is the block of a cell. Cells beyond the grid belong to the nearest block
// of its rim.
func (b Blocks) Of(col, row int) int {
	col = min(max(col, 0), b.Grid.Cols-1) / b.Cells
	row = min(max(row, 0), b.Grid.Rows-1) / b.Cells
	return row*b.cols() + col
}

// At is the block of a place.
func (b Blocks) At(p orb.Point) int { return b.Of(b.Grid.CellAt(p)) }

// BlockSide is how wide blocks are and why: the widest of its three reasons.
type BlockSide struct {
	Metres float64 `json:"metres"`
	Least  float64 `json:"least_m"`
	// Effect is four times the scale at which the species feels its surroundings.
	Effect float64 `json:"four_times_scale_of_effect_m"`
	// Range is how far habitat is alike ([Variogram]); 0 where that cannot be told.
	Range float64 `json:"variogram_range_m,omitempty"`
	// Cut tells that Range is longer than a third of the area's shorter side, and
	// counts for that only, since too few blocks would be left.
	Cut    bool `json:"variogram_range_cut,omitempty"`
	Stated bool `json:"stated,omitempty"` // by whoever asked, whatever the reasons say
}

// blockSide is max(2 km, 4 × scale of effect, range of the variogram).
func blockSide(g layers.Grid, effect float64, v Variogram) BlockSide {
	s := BlockSide{Least: LeastBlock, Effect: effectsApart * effect, Range: v.Range}
	longest := float64(min(g.Cols, g.Rows)) * g.Cell / 3
	alike := v.Range
	if alike > longest {
		s.Cut, alike = true, longest
	}
	s.Metres = math.Ceil(max(s.Least, s.Effect, alike)/g.Cell-1e-9) * g.Cell
	return s
}
