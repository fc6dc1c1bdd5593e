package layers

import (
	"errors"
	"fmt"
	"image/color"
	"math"
)

// TileSide is the side of a stored tile, in cells. The Cloud Optimized GeoTIFF
// standard (OGC 21-026) asks for tiles; 256 is one of the two usual sides.
const TileSide = 256

// tileCells is how many cells a tile holds; tiles at the east and south edge are
// padded with nodata.
const tileCells = TileSide * TileSide

// ErrCog is wrapped by every error about a Cloud Optimized GeoTIFF that cannot
// be written.
var ErrCog = errors.New("layers: cannot write this Cloud Optimized GeoTIFF")

// CogCells is what a cell of a stored raster is.
type CogCells uint8

// The kinds of stored cells.
const (
	// CogBytes are unsigned bytes; one of them stands for nodata.
	CogBytes CogCells = iota
	// CogFloats are 32-bit floats; NaN is nodata.
	CogFloats
)

// size is the number of bytes of a cell.
func (c CogCells) size() int {
	if c == CogFloats {
		return 4
	}
	return 1
}

// CogSpec is everything that a Cloud Optimized GeoTIFF says about its cells.
// Equal specs and equal tiles give equal bytes.
type CogSpec struct {
	Grid   Grid
	Cells  CogCells
	Nodata uint8 // the byte that means nodata; floats have NaN
	// Scale and Offset turn a stored number into the value: value = stored ·
	// Scale + Offset. A Scale of 0 means 1.
	Scale, Offset float64
	Description   string // of the band
	Unit          string // of the values
	// Classes name the stored codes 0 to 255 of a raster of classes. GeoTIFF has
	// no place for the names (see [WriteAux]); the colours become the palette.
	Classes []Class
	// Palette colours stored bytes by code, where Classes do not.
	Palette []color.NRGBA
	// Metadata are further items, by name.
	Metadata map[string]string
	// Overviews is how smaller levels are made: Average, or Majority for classes.
	Overviews Resample
	// BigTIFF forces 64-bit offsets; they are taken by themselves where the file
	// would pass 4 GiB.
	BigTIFF bool
}

// Statistics describe the known cells of a raster, in the values' unit.
type Statistics struct {
	Count        uint64 // known cells
	Min, Max     float64
	Mean, StdDev float64 // StdDev of the population
	ValidPercent float64 // known cells in 100 cells
}

// stored turns statistics of values into statistics of stored numbers, which
// is what GDAL's STATISTICS items are about.
func (s Statistics) stored(spec CogSpec) Statistics {
	scale := spec.scale()
	number := func(v float64) float64 { return (v - spec.Offset) / scale }
	s.Min, s.Max, s.Mean = number(s.Min), number(s.Max), number(s.Mean)
	s.StdDev /= math.Abs(scale)
	if scale < 0 {
		s.Min, s.Max = s.Max, s.Min
	}
	if spec.Cells == CogBytes {
		s.Min, s.Max = math.Round(s.Min), math.Round(s.Max)
	}
	return s
}

func (s CogSpec) scale() float64 {
	if s.Scale == 0 {
		return 1
	}
	return s.Scale
}

// maxCogTiles bounds the tile tables: 2²⁴ tiles are 10¹² cells.
const maxCogTiles = 1 << 24

// check tells what a spec gets wrong.
func (s CogSpec) check() error {
	g := s.Grid
	switch {
	case g.Cols <= 0 || g.Rows <= 0 || !(g.Cell > 0) || math.IsInf(g.Cell, 0):
		return fmt.Errorf("%w: a grid of %d by %d cells of %g m", ErrCog, g.Cols, g.Rows, g.Cell)
	case tilesAcross(g.Cols) > maxCogTiles/tilesAcross(g.Rows):
		return fmt.Errorf("%w: %d by %d cells are more than %d tiles", ErrCog, g.Cols, g.Rows, maxCogTiles)
	case s.Cells > CogFloats:
		return fmt.Errorf("%w: no such kind of cells: %d", ErrCog, s.Cells)
	case s.Overviews != Average && s.Overviews != Majority:
		return fmt.Errorf("%w: overviews are made by average or majority, not %q", ErrCog, s.Overviews)
	case s.Cells == CogFloats && s.Overviews == Majority:
		return fmt.Errorf("%w: floats have no majority", ErrCog)
	case !finite(s.Scale) || !finite(s.Offset):
		return fmt.Errorf("%w: scale %g and offset %g must be finite", ErrCog, s.Scale, s.Offset)
	}
	return s.checkPalette()
}

func (s CogSpec) checkPalette() error {
	if s.Cells == CogFloats && (len(s.Classes) > 0 || len(s.Palette) > 0) {
		return fmt.Errorf("%w: floats have neither classes nor a palette", ErrCog)
	}
	if len(s.Palette) > 256 {
		return fmt.Errorf("%w: a palette of %d colours", ErrCog, len(s.Palette))
	}
	var seen [256]bool
	for _, c := range s.Classes {
		if c.Value < 0 || c.Value > 255 {
			return fmt.Errorf("%w: class %q has the code %d; bytes hold 0 to 255", ErrCog, c.Name, c.Value)
		}
		if seen[c.Value] {
			return fmt.Errorf("%w: two classes have the code %d", ErrCog, c.Value)
		}
		seen[c.Value] = true
	}
	return nil
}

func finite(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }

func tilesAcross(cells int) int { return (cells + TileSide - 1) / TileSide }

// colours are the 256 entries of the palette, or nil without one.
func (s CogSpec) colours() []color.NRGBA {
	table := make([]color.NRGBA, 256)
	coloured := len(s.Palette) > 0
	copy(table, s.Palette)
	for _, c := range s.Classes {
		if c.Colour.A != 0 {
			table[c.Value] = c.Colour
			coloured = true
		}
	}
	if !coloured {
		return nil
	}
	return table
}
