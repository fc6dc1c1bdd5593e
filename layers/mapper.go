package layers

import (
	"fmt"
	"math"
)

// Lattice is the cells of a raster: x = a[0] + col·a[1] + row·a[2],
// y = a[3] + col·a[4] + row·a[5] is the corner of pixel (col, row).
type Lattice struct {
	CRS    CRS
	Affine [6]float64
}

// Lattice is the grid's own cells.
func (g Grid) Lattice() Lattice { return Lattice{CRS: g.CRS, Affine: g.Affine()} }

// Mapper says where the cells of one raster, the target, lie in another, the
// source. Between two coordinate reference systems it transforms the nodes of a
// net exactly and interpolates between them. The net is laid over fixed chunks
// of the target, so that a cell's place never depends on the window asked for.
//
// A Mapper serves one goroutine.
type Mapper struct {
	target, source [6]float64
	points         func(xs, ys []float64) error // nil where both share a CRS
	close          func() error
	tolerance      float64
	left, right    []float64 // scratch: x and y of one row of net nodes
	kept           map[[2]int]net
}

// alignTolerance is how far, in source cells, the net may lie from the exact
// transform when layers are lined up on the grid.
const alignTolerance = 0.02

// NewMapper maps a target's cells to a source's; tolerance is the greatest
// error, in source pixels, that interpolation may add.
func NewMapper(target, source Lattice, tolerance float64) (*Mapper, error) {
	if target.CRS.Equal(source.CRS) {
		return newMapper(target.Affine, source.Affine, nil, tolerance)
	}
	t, err := NewTransform(target.CRS, source.CRS)
	if err != nil {
		return nil, err
	}
	m, err := newMapper(target.Affine, source.Affine, t.Points, tolerance)
	if err != nil {
		return nil, err
	}
	m.close = t.Close
	return m, nil
}

// newMapper takes the transform of points, in place, from the target's CRS to
// the source's; nil means that they are the same.
func newMapper(target, source [6]float64, points func(xs, ys []float64) error, tolerance float64) (*Mapper, error) {
	for _, a := range [][6]float64{target, source} {
		if d := determinant(a); d == 0 || math.IsNaN(d) || math.IsInf(d, 0) {
			return nil, fmt.Errorf("layers: the affine %v maps a raster onto no area", a)
		}
	}
	return &Mapper{target: target, source: source, points: points, tolerance: tolerance}, nil
}

func determinant(a [6]float64) float64 { return a[1]*a[5] - a[2]*a[4] }

// Close lets go of the transform.
func (m *Mapper) Close() error {
	if m.close == nil {
		return nil
	}
	return m.close()
}

// Map fills the source pixel coordinates of the centres of the cells of w, row
// by row; source pixel (0, 0) covers [0, 1) both ways. Where no transform
// exists both are NaN.
func (m *Mapper) Map(w Window, xs, ys []float64) error {
	if w.Empty() {
		return nil
	}
	for piece := range chunks(w, m.points != nil) {
		at := (piece.Row-w.Row)*w.Cols + piece.Col - w.Col
		if err := m.centres(piece, w.Cols, xs[at:], ys[at:]); err != nil {
			return err
		}
	}
	return nil
}

// centres maps a piece of one chunk into rows that lie stride apart.
func (m *Mapper) centres(piece Window, stride int, xs, ys []float64) error {
	if m.points == nil {
		m.straight(piece, 0.5, stride, xs, ys)
		return nil
	}
	net, err := m.net(chunkOf(piece.Col), chunkOf(piece.Row))
	if err != nil {
		return err
	}
	return m.fill(net, piece, 0.5, stride, xs, ys)
}

// straight maps points of the same CRS: at is where in the cell they lie.
func (m *Mapper) straight(w Window, at float64, stride int, xs, ys []float64) {
	for r := range w.Rows {
		for c := range w.Cols {
			x, y := m.targetPoint(float64(w.Col+c)+at, float64(w.Row+r)+at)
			x, y = m.sourcePixel(x, y)
			xs[r*stride+c], ys[r*stride+c] = snap(x), snap(y)
		}
	}
}

// axes maps the points of a same-CRS, unrotated pair by column and by row: the
// first at corner plus at, one for each element of xs and ys.
func (m *Mapper) axes(w Window, at float64, xs, ys []float64) {
	for c := range xs {
		x, _ := m.targetPoint(float64(w.Col+c)+at, 0)
		x, _ = m.sourcePixel(x, 0)
		xs[c] = snap(x)
	}
	for r := range ys {
		_, y := m.targetPoint(0, float64(w.Row+r)+at)
		_, y = m.sourcePixel(0, y)
		ys[r] = snap(y)
	}
}

// separable tells whether a column alone gives x and a row alone gives y.
func (m *Mapper) separable() bool {
	t, s := m.target, m.source
	return m.points == nil && t[2] == 0 && t[4] == 0 && s[2] == 0 && s[4] == 0
}

// targetPoint is the ground under a target's pixel coordinate.
func (m *Mapper) targetPoint(col, row float64) (x, y float64) {
	a := &m.target
	return a[0] + float64(col*a[1]) + float64(row*a[2]), a[3] + float64(col*a[4]) + float64(row*a[5])
}

// sourcePixel is the source's pixel coordinate of a point on the ground.
func (m *Mapper) sourcePixel(x, y float64) (col, row float64) {
	a := &m.source
	dx, dy := x-a[0], y-a[3]
	if a[2] == 0 && a[4] == 0 {
		return dx / a[1], dy / a[5]
	}
	d := determinant(*a)
	return (float64(a[5]*dx) - float64(a[2]*dy)) / d, (float64(a[1]*dy) - float64(a[4]*dx)) / d
}

// snap moves a coordinate within a millionth of a pixel from an edge or a
// centre onto it, so that the last bit of a sum of decimals decides nothing.
func snap(v float64) float64 {
	if half := math.Round(2*v) / 2; math.Abs(v-half) < 1e-6 {
		return half
	}
	return v
}

// corners maps the north-west corners of the cells of w, whose first cell's
// chunk they all belong to.
func (m *Mapper) corners(w Window, xs, ys []float64) error {
	if m.points == nil {
		m.straight(w, 0, w.Cols, xs, ys)
		return nil
	}
	net, err := m.net(chunkOf(w.Col), chunkOf(w.Row))
	if err != nil {
		return err
	}
	return m.fill(net, w, 0, w.Cols, xs, ys)
}
