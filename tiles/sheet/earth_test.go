package sheet

import (
	"math"
	"strings"
	"testing"

	"tussock/layers"
)

func located(t *testing.T, f frame) earth {
	t.Helper()
	e, err := locate(f)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { e.close() })
	return e
}

func frameAt(t *testing.T, crs string, west, north, cell float64, cols, rows int) frame {
	t.Helper()
	g := testGrid(t, crs, cols, rows)
	g.West, g.North, g.Cell = west, north, cell
	return newFrame(g, 1900, 1900)
}

// WGS 84, EPSG ellipsoid 7030.
const (
	semiMajor  = 6378137.0
	flattening = 1 / 298.257223563
)

// In Web Mercator a metre of x is Δλ = 1/a radians, which on the ellipsoid's
// parallel is N(φ)·cos φ/a metres, N = a/√(1 − e² sin² φ) (Snyder 1987, Map
// Projections: A Working Manual, equation 4-20). Over a bar of some km the
// parallel and the geodesic differ by less than a millionth at 56° N.
func TestScaleBarInWebMercator(t *testing.T) {
	for _, lat := range []float64{0, 20, -45, 56} {
		phi := lat * math.Pi / 180
		y := semiMajor * math.Asinh(math.Tan(phi))
		f := frameAt(t, "EPSG:3857", 300000, y+25*200, 25, 400, 400) // its middle lies at the latitude
		e := located(t, f)
		b, err := newScaleBar(f, e, 600)
		if err != nil {
			t.Fatal(err)
		}
		n := semiMajor / math.Sqrt(1-flattening*(2-flattening)*math.Sin(phi)*math.Sin(phi))
		want := b.metres / (n * math.Cos(phi) / semiMajor) * f.perMetreX()
		if math.Abs(b.pixels-want) > 0.01 {
			t.Errorf("latitude %g: %g m are %.4f pixels, want %.4f", lat, b.metres, b.pixels, want)
		}
		if b.pixels > 600 || b.pixels < 600/2.6 {
			t.Errorf("latitude %g: the bar has %.0f of 600 pixels", lat, b.pixels)
		}
	}
}

// In UTM the bar's ends are as far apart on the ellipsoid as it says
// (layers.GeodesicDistance is held against GeographicLib in package layers).
func TestScaleBarInUTM(t *testing.T) {
	f := frameAt(t, "EPSG:32631", 788000, 6215080, 25, 960, 720) // far from the central meridian: scale 1.0006
	e := located(t, f)
	b, err := newScaleBar(f, e, 600)
	if err != nil {
		t.Fatal(err)
	}
	half := b.pixels / 2 / f.perMetreX()
	m := f.middle()
	from, err := e.degrees([2]float64{m[0] - half, m[1]})
	if err != nil {
		t.Fatal(err)
	}
	to, err := e.degrees([2]float64{m[0] + half, m[1]})
	if err != nil {
		t.Fatal(err)
	}
	if got := layers.GeodesicDistance(from, to); math.Abs(got-b.metres) > 1e-3 {
		t.Errorf("the bar of %g m is %.4f m long", b.metres, got)
	}
}

func TestScaleBarInALocalSystem(t *testing.T) {
	f := frameAt(t, localCRS, 0, 505, 5, 201, 101)
	b, err := newScaleBar(f, located(t, f), 600)
	if err != nil {
		t.Fatal(err)
	}
	if want := b.metres * float64(f.width) / 1005; math.Abs(b.pixels-want) > 1e-9 || b.metres != 200 {
		t.Errorf("%g m are %g pixels, want %g", b.metres, b.pixels, want)
	}
}

// The convergence of the transverse Mercator on the sphere is atan(tan(λ − λ₀)·
// sin φ) (Snyder 1987, p. 51); on the ellipsoid within 3 degrees of λ₀ it differs
// by less than 0.01 degrees. East of the central meridian, true north lies to the
// west of grid north.
func TestConvergenceInUTM(t *testing.T) {
	for _, west := range []float64{200000, 500000 - 12000, 650000, 780000} {
		f := frameAt(t, "EPSG:32631", west, 6215080, 25, 960, 720)
		e := located(t, f)
		at, err := e.degrees(f.middle())
		if err != nil {
			t.Fatal(err)
		}
		want := -math.Atan(math.Tan((at[0]-3)*math.Pi/180)*math.Sin(at[1]*math.Pi/180)) * 180 / math.Pi
		if math.Abs(e.convergence-want) > 0.01 {
			t.Errorf("at %v true north lies %.4f° from grid north, want %.4f°", at, e.convergence, want)
		}
		words := northWords(e)
		said := strings.Contains(words, "true north")
		if said != (math.Abs(want) > leastConvergence) || said && strings.Contains(words, "west") != (want < 0) {
			t.Errorf("convergence %.2f°: %s", want, words)
		}
	}
}

func TestLocalSystemHasNoPlaceOnEarth(t *testing.T) {
	f := frameAt(t, localCRS, 0, 505, 5, 201, 101)
	e := located(t, f)
	if e.known || strings.Contains(northWords(e), "true") || axisWords(e, 0, 400) != "x 400" {
		t.Errorf("%+v", e)
	}
}

func TestRoundSteps(t *testing.T) {
	for _, c := range []struct {
		from, to, least float64
		want            []float64
	}{
		{488000, 512000, 4000, []float64{490000, 495000, 500000, 505000, 510000}},
		{-3, 4, 1.2, []float64{-2, 0, 2, 4}}, {0, 1, 5, []float64{0}}, {1, 2, 0.5, []float64{1, 1.5, 2}}, {1, 2, 5, nil},
	} {
		got := roundSteps(c.from, c.to, c.least)
		if len(got) != len(c.want) {
			t.Errorf("from %g to %g by %g: %v", c.from, c.to, c.least, got)
			continue
		}
		for i := range got {
			if math.Abs(got[i]-c.want[i]) > 1e-9 {
				t.Errorf("from %g to %g by %g: %v", c.from, c.to, c.least, got)
			}
		}
	}
}

func TestNumbersInWords(t *testing.T) {
	for v, want := range map[float64]string{0: "0", 999: "999", 1000: "1 000", 6215080: "6 215 080", -12345.5: "−12 345.5"} {
		if got := strings.ReplaceAll(thousands(v), " ", " "); got != want {
			t.Errorf("%g is %q, want %q", v, got, want)
		}
	}
	for v, want := range map[float64]string{1: "1 m", 500: "500 m", 1000: "1 km", 2500: "2.5 km", 250: "250 m"} {
		if got := length(v); got != want {
			t.Errorf("%g is %q, want %q", v, got, want)
		}
	}
	if got := degreesWords([2]float64{-79.85321, 9.1}); got != "9.1000° N  79.8532° W" {
		t.Errorf("%q", got)
	}
}
