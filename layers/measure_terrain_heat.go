package layers

import (
	"fmt"
	"math"
)

// fittedDegrees bounds the latitudes and the slopes of the heat load equation.
const fittedDegrees = 60

// checkLatitude tells whether heat load can be reckoned on a grid.
func (t Terrain) checkLatitude(g Grid) error {
	degrees := 0.0
	if t.Latitude != nil {
		degrees = *t.Latitude
	} else {
		if g.CRS.IsZero() || g.CRS.IsLocal() {
			return fmt.Errorf("layers: heat load of layer %q: the grid's CRS has no latitude; hint: state a latitude", t.Layer)
		}
		lat, err := newLatitudes(g, Window{Col: g.Cols / 2, Row: g.Rows / 2, Cols: 1, Rows: 1})
		if err != nil {
			return fmt.Errorf("layers: heat load of layer %q: %w", t.Layer, err)
		}
		degrees = lat.at(g.Cols/2, g.Rows/2)
	}
	if math.Abs(degrees) <= fittedDegrees {
		return nil
	}
	return fmt.Errorf("layers: heat load of layer %q: latitude %.4g lies beyond the %d degrees that the equation was fitted for; "+
		"hint: state a latitude of %d to use it at its limit", t.Layer, degrees, fittedDegrees, fittedDegrees)
}

// heatLoad fills out cell by cell.
func (t Terrain) heatLoad(g Grid, source, out Block) error {
	latitude := func(int, int) float64 { return *t.Latitude }
	if t.Latitude == nil {
		lat, err := newLatitudes(g, out.Window)
		if err != nil {
			return fmt.Errorf("layers: heat load of layer %q: %w", t.Layer, err)
		}
		latitude = lat.at
	}
	w := out.Window
	r := newRises(w.Cols, g.Cell)
	for row := w.Row; row < w.Bottom(); row++ {
		r.along(source, row)
		to := out.ValueRow(row)
		for i, east := range r.east {
			to[i] = float32(heatLoad(east, r.north[i], latitude(w.Col+i, row)))
		}
	}
	return nil
}

// heatLoad needs no angle but the latitude: with the way down the slope as the
// vector (x, y), east and north, folding the aspect about the line from
// north-east to south-west gives cos A = (x + y)/√2 and sin A = |x − y|/√2.
func heatLoad(east, north, latitude float64) float64 {
	if !(math.Abs(latitude) <= fittedDegrees) {
		return math.NaN()
	}
	x, y := -east, -north
	if latitude < 0 {
		y = -y // the southern hemisphere is the northern in a mirror
	}
	steep := math.Sqrt(float64(x*x) + float64(y*y))
	if most := math.Sqrt(3); steep > most { // tan 60°
		x, y, steep = x*(most/steep), y*(most/steep), most
	}
	sinL, cosL := math.Sincos(math.Abs(latitude) * (math.Pi / 180))
	cosS := 1 / math.Sqrt(1+float64(steep*steep))
	sinS := steep * cosS
	foldedCos, foldedSin := (x+y)*cosS/math.Sqrt2, math.Abs(x-y)*cosS/math.Sqrt2 // times sin S
	return math.Exp(-1.236 + float64(1.350*cosL*cosS) - float64(1.376*foldedCos*sinL) -
		float64(0.331*sinL*sinS) + float64(0.375*foldedSin))
}

// latitudes knows the latitude of every cell of a window: exact where columns
// and rows are multiples of latitudeStep, straight between. The nodes belong to
// the grid, not to the window, so that a cell's latitude is always the same.
type latitudes struct {
	col, row, cols int // nodes
	degrees        []float64
}

const latitudeStep = 64

func newLatitudes(g Grid, w Window) (*latitudes, error) {
	l := &latitudes{col: floorDiv(w.Col, latitudeStep), row: floorDiv(w.Row, latitudeStep)}
	l.cols = floorDiv(w.Right()-1, latitudeStep) + 2 - l.col
	rows := floorDiv(w.Bottom()-1, latitudeStep) + 2 - l.row
	xs := make([]float64, 0, l.cols*rows)
	for r := range rows {
		for c := range l.cols {
			at := g.Centre((l.col+c)*latitudeStep, (l.row+r)*latitudeStep)
			xs, l.degrees = append(xs, at[0]), append(l.degrees, at[1])
		}
	}
	t, err := NewTransform(g.CRS, WGS84())
	if err != nil {
		return nil, err
	}
	defer t.Close()
	return l, t.Points(xs, l.degrees)
}

// at is the latitude of a cell's centre, in degrees.
func (l *latitudes) at(col, row int) float64 {
	c, r := floorDiv(col, latitudeStep), floorDiv(row, latitudeStep)
	u := float64(col-c*latitudeStep) / latitudeStep
	v := float64(row-r*latitudeStep) / latitudeStep
	node := l.degrees[(r-l.row)*l.cols+c-l.col:]
	top := float64(node[0]*(1-u)) + float64(node[1]*u)
	low := float64(node[l.cols]*(1-u)) + float64(node[l.cols+1]*u)
	return float64(top*(1-v)) + float64(low*v)
}

// floorDiv divides downwards, also below 0.
func floorDiv(a, b int) int {
	q := a / b
	if a%b < 0 {
		q--
	}
	return q
}
