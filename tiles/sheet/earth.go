package sheet

import (
	"errors"
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"tussock/layers"
)

// earth is where a map lies on the Earth. Known is false in a local system.
type earth struct {
	known       bool
	corners     [4]orb.Point // NW, NE, SW, SE in degrees; NaN where there are none
	convergence float64      // degrees, clockwise, from grid north to true north at the map's middle; NaN where there is none
	crs         layers.CRS
	middle      orb.Point
	toDegrees   *layers.Transform
}

// locate finds where a map lies on the Earth.
func locate(f frame) (e earth, err error) {
	e = earth{crs: f.grid.CRS, middle: f.middle(), convergence: math.NaN()}
	if f.grid.CRS.IsLocal() || f.grid.CRS.IsZero() {
		return e, nil
	}
	e.known = true
	if e.toDegrees, err = layers.NewTransform(f.grid.CRS, layers.WGS84()); err != nil {
		return e, fmt.Errorf("tiles: %w", err)
	}
	b := f.grid.Bound(f.grid.Window())
	for i, at := range []orb.Point{{b.Min[0], b.Max[1]}, b.Max, b.Min, {b.Max[0], b.Min[1]}} {
		if e.corners[i], err = e.degrees(at); err != nil {
			return e, err
		}
	}
	e.convergence, err = e.trueNorth()
	return e, err
}

// degrees is the longitude and latitude of a point of the grid.
func (e earth) degrees(at orb.Point) (orb.Point, error) {
	xs, ys := []float64{at[0]}, []float64{at[1]}
	err := e.toDegrees.Points(xs, ys)
	return orb.Point{xs[0], ys[0]}, err
}

// northStep is how far north of the middle true north is taken, in degrees:
// about 100 m, over which a meridian is straight on any map.
const northStep = 0.001

// trueNorth is the direction of the meridian through the map's middle.
func (e earth) trueNorth() (float64, error) {
	at, err := e.degrees(e.middle)
	if err != nil || math.IsNaN(at[0]) || math.Abs(at[1]) > 90-2*northStep {
		return math.NaN(), err
	}
	back, err := layers.NewTransform(layers.WGS84(), e.crs)
	if err != nil {
		return math.NaN(), fmt.Errorf("tiles: %w", err)
	}
	xs, ys := []float64{at[0], at[0]}, []float64{at[1] - northStep, at[1] + northStep}
	err = errors.Join(back.Points(xs, ys), back.Close())
	return math.Atan2(xs[1]-xs[0], ys[1]-ys[0]) * 180 / math.Pi, err
}

// onGrid is how many metres of the grid, level through the map's middle, are so
// many metres on the WGS 84 ellipsoid (layers.GeodesicDistance). In a local
// system a metre is a metre.
func (e earth) onGrid(metres float64) (float64, error) {
	length := metres
	if !e.known {
		return length, nil
	}
	for range 3 { // the scale hardly changes over a bar; the second round is exact to a millionth
		from, err := e.degrees(orb.Point{e.middle[0] - length/2, e.middle[1]})
		if err != nil {
			return 0, err
		}
		to, err := e.degrees(orb.Point{e.middle[0] + length/2, e.middle[1]})
		if err != nil {
			return 0, err
		}
		ground := layers.GeodesicDistance(from, to)
		if !(ground > 0) {
			return metres, nil // no place on the Earth there
		}
		length *= metres / ground
	}
	return length, nil
}

func (e earth) close() error {
	if e.toDegrees == nil {
		return nil
	}
	return e.toDegrees.Close()
}
