package layers

import "fmt"

// notGiven marks a tile that nobody has said anything about.
const notGiven = -1

// cogLevel is one resolution of a raster: the sizes of its compressed tiles,
// and for overviews where the tiles are kept.
type cogLevel struct {
	cols, rows   int       // cells
	across, down int       // tiles
	sizes        []int32   // bytes of each tile in row order, 0 for an empty one
	spans        []cogSpan // nil for the full resolution
}

func newCogLevel(cols, rows int, kept bool) cogLevel {
	l := cogLevel{cols: cols, rows: rows, across: tilesAcross(cols), down: tilesAcross(rows)}
	l.sizes = make([]int32, l.across*l.down)
	for i := range l.sizes {
		l.sizes[i] = notGiven
	}
	if kept {
		l.spans = make([]cogSpan, len(l.sizes))
	}
	return l
}

// cogLevels are all resolutions, each half of the one before, until a level
// fits in one tile.
func cogLevels(cols, rows int) []cogLevel {
	levels := []cogLevel{newCogLevel(cols, rows, false)}
	for cols > TileSide || rows > TileSide {
		cols, rows = (cols+1)/2, (rows+1)/2
		levels = append(levels, newCogLevel(cols, rows, true))
	}
	return levels
}

// index is a tile's place in row order.
func (l *cogLevel) index(col, row int) (int, error) {
	if col < 0 || row < 0 || col >= l.across || row >= l.down {
		return 0, fmt.Errorf("%w: no tile in column %d, row %d: a level of %d by %d cells has %d by %d tiles",
			ErrCog, col, row, l.cols, l.rows, l.across, l.down)
	}
	return row*l.across + col, nil
}

// take notes a tile's size.
func (l *cogLevel) take(col, row, size int) (int, error) {
	i, err := l.index(col, row)
	if err != nil {
		return 0, err
	}
	if size < 0 || size > maxTileBytes {
		return 0, fmt.Errorf("%w: the tile in column %d, row %d has %d bytes", ErrCog, col, row, size)
	}
	if l.sizes[i] != notGiven {
		return 0, fmt.Errorf("%w: the tile in column %d, row %d of %d by %d cells was given twice", ErrCog, col, row, l.cols, l.rows)
	}
	l.sizes[i] = int32(size)
	return i, nil
}

// maxTileBytes is far above what DEFLATE makes of a tile of noise.
const maxTileBytes = 1 << 24

// emptyBelow tells whether all the tiles of this level below a tile of the level
// above are empty.
func (l *cogLevel) emptyBelow(col, row int) bool {
	for r := 2 * row; r < min(2*row+2, l.down); r++ {
		for c := 2 * col; c < min(2*col+2, l.across); c++ {
			if l.sizes[r*l.across+c] != 0 {
				return false
			}
		}
	}
	return true
}

// missing names the first tile that nobody gave.
func (l *cogLevel) missing(what string) error {
	for i, size := range l.sizes {
		if size == notGiven {
			return fmt.Errorf("%w: the %s tile in column %d, row %d was never given", ErrCog, what, i%l.across, i/l.across)
		}
	}
	return nil
}
