package layers

import (
	"math"
	"slices"
	"testing"

	"github.com/paulmach/orb"

	"tussock/layers/internal/gdal"
)

type geodesicCheck struct {
	Name            string
	P1, P2          [2]float64 // latitude, longitude
	S12, Tol        float64
	Points          [][2]float64
	Perimeter, Area float64
}

func geodesicChecks(t *testing.T) map[string]geodesicCheck {
	var list []geodesicCheck
	reference(t, "geodesic_checks.json", &list)
	checks := map[string]geodesicCheck{}
	for _, c := range list {
		checks[c.Name] = c
	}
	return checks
}

// Karney (2013) and the documentation of GeographicLib; the first pair is
// near-antipodal, where Vincenty's method fails.
func TestGeodesicDistance(t *testing.T) {
	checks := geodesicChecks(t)
	for _, name := range []string{"Wellington-Salamanca (WGS84)", "JFK-LHR (WGS84)"} {
		c := checks[name]
		if got := GeodesicDistance(orb.Point{c.P1[1], c.P1[0]}, orb.Point{c.P2[1], c.P2[0]}); math.Abs(got-c.S12) > c.Tol || c.S12 == 0 {
			t.Errorf("%s: %.9f m, published %.9f", name, got, c.S12)
		}
	}
	// Vincenty (1975) and the GDA technical manual, on GRS 80 (EPSG ellipsoid 7019).
	c := checks["Flinders Peak-Buninyong (GDA94, GRS80)"]
	grs80 := gdal.Ellipsoid{A: 6378137, F: 1 / 298.257222101}
	if got := grs80.Distance(c.P1[1], c.P1[0], c.P2[1], c.P2[0]); math.Abs(got-c.S12) > c.Tol || c.S12 == 0 {
		t.Errorf("%s: %.6f m, published %.6f", c.Name, got, c.S12)
	}
	// Lengths of degrees, recomputed with GeographicLib.
	if got := GeodesicDistance(orb.Point{0, 0}, orb.Point{0, 90}); math.Abs(got-10001965.729312724) > 1e-6 {
		t.Errorf("the quarter meridian is %.9f m", got)
	}
}

// Rings whose sides are geodesics: the ring around Antarctica in the
// documentation of GeographicLib, and cells of a degree.
func TestRingsOfGeodesics(t *testing.T) {
	for _, c := range geodesicChecks(t) {
		if c.Area == 0 {
			continue
		}
		var lons, lats []float64
		for _, p := range c.Points {
			lats, lons = append(lats, p[0]), append(lons, p[1])
		}
		area, perimeter := wgs84Ellipsoid.Area(lons, lats)
		if math.Abs(math.Abs(area)-c.Area) > 0.1 || math.Abs(perimeter-c.Perimeter) > 1e-3 {
			t.Errorf("%s: %.3f m² in %.4f m, published %.3f in %.4f", c.Name, area, perimeter, c.Area, c.Perimeter)
		}
		slices.Reverse(lons)
		slices.Reverse(lats)
		if back, _ := wgs84Ellipsoid.Area(lons, lats); math.Abs(back+area) > 0.1 {
			t.Errorf("%s: the other way round %.3f m²", c.Name, back)
		}
	}
}

func square(x, y, side float64) orb.Polygon {
	return orb.Bound{Min: orb.Point{x, y}, Max: orb.Point{x + side, y + side}}.ToPolygon()
}

// Squares of 10 km on an equal-area grid hold 100 km² of ground; those of the
// British National Grid do not (recomputed with PROJ and GeographicLib from
// edges in many pieces).
func TestGeodesicAreaOfSquares(t *testing.T) {
	for _, c := range []struct {
		crs             string
		x, y, want, tol float64
	}{
		// Equal-area by definition; PROJ's series for the authalic latitude, of
		// which a term is of the order 1e-9, leaves the tolerance.
		{"EPSG:3035", 4000000, 3000000, 1e8, 0.1},
		{"EPSG:3035", 3900000, 1900000, 1e8, 0.1},
		{"EPSG:3035", 4321000, 5200000, 1e8, 0.1},
		{"EPSG:27700", 400000, 100000, 100079711.4, 0.1},
		{"EPSG:27700", 600000, 300000, 99976537.1, 0.1},
		{"EPSG:27700", 250000, 800000, 100028157.6, 0.1},
	} {
		got, err := GeodesicArea(mustCRS(t, c.crs), square(c.x, c.y, 1e4))
		if err != nil || math.Abs(got-c.want) > c.tol {
			t.Errorf("%s at %g, %g: %.4f m², want %.1f (%v)", c.crs, c.x, c.y, got, c.want, err)
		}
	}
}

// The area between two parallels and two meridians has a closed form (Snyder
// 1987, formula 3-12): b²/2·Δλ·(q(φ₂) − q(φ₁)) with the authalic q.
func TestGeodesicAreaOfGraticule(t *testing.T) {
	f := 1 / 298.257223563
	a, e2 := 6378137.0, f*(2-f)
	e := math.Sqrt(e2)
	zone := func(lat float64) float64 {
		s := math.Sin(lat * math.Pi / 180)
		return a * a * (1 - e2) / 2 * (s/(1-e2*s*s) + math.Atanh(e*s)/e)
	}
	for _, south := range []float64{-60, -0.5, 0, 30, 51, 80} {
		want := (zone(south+1) - zone(south)) * math.Pi / 180
		got, err := GeodesicArea(WGS84(), square(-2, south, 1))
		if err != nil || math.Abs(got-want) > 1e-9*want {
			t.Errorf("the degree north of %g: %.3f m², want %.3f (%v)", south, got, want, err)
		}
	}
}

func TestGeodesicAreaShapes(t *testing.T) {
	laea := mustCRS(t, "EPSG:3035")
	outer, hole := square(4000000, 3000000, 1000), square(4000100, 3000100, 100)
	slices.Reverse(hole[0])
	holed := append(outer.Clone(), hole[0])
	for _, c := range []struct {
		crs  CRS
		g    orb.Geometry
		want float64
	}{
		{laea, outer, 1e6},
		{laea, holed, 99e4},
		{laea, append(outer.Clone(), square(4000100, 3000100, 100)[0]), 99e4}, // a hole that turns the wrong way
		{laea, orb.MultiPolygon{outer, square(4010000, 3000000, 500)}, 125e4},
		{laea, orb.LineString{{4e6, 3e6}, {5e6, 3e6}}, 0},
		{laea, orb.Polygon{}, 0},
		{mustCRS(t, plotCRS), holed, 99e4},
		{mustCRS(t, `LOCAL_CS["plot in feet",UNIT["foot",0.3048]]`), square(0, 0, 100), 1e4 * 0.3048 * 0.3048},
		// 5280 US survey feet of 1200/3937 m each way; the Texas grid's scale is
		// within 2 in 10000 of 1 (NOAA Manual NOS NGS 5).
		{mustCRS(t, "EPSG:32040"), square(2000000, 200000, 5280), math.Pow(5280*1200/3937.0, 2)},
	} {
		got, err := GeodesicArea(c.crs, c.g)
		tolerance := 1e-6 * c.want
		if c.crs.Code() == "EPSG:32040" {
			tolerance = 5e-4 * c.want
		}
		if err != nil || math.Abs(got-c.want) > tolerance {
			t.Errorf("%s, %T: %.4f m², want %.4f (%v)", c.crs.Name(), c.g, got, c.want, err)
		}
	}
	if _, err := GeodesicArea(CRS{}, outer); err == nil {
		t.Error("an area was found without a CRS")
	}
}

// The British National Grid's scale at its central meridian is its scale factor
// (OS guide, annex C), and east of it as recomputed with PROJ; Mercator's on a
// sphere is sec φ, and pseudo-Mercator's on the ellipsoid follows from the radii
// of curvature (Snyder 1987, chapter 7).
func TestPointScale(t *testing.T) {
	bng := mustCRS(t, "EPSG:27700")
	sphere := mustCRS(t, "+proj=merc +R=6371000")
	for _, c := range []struct {
		crs  CRS
		at   orb.Point
		want float64
	}{
		{bng, orb.Point{400000, 300000}, 0.9996012717},
		{bng, orb.Point{600000, 300000}, 1.00009237},
		{sphere, orb.Point{0, 6371000 * math.Asinh(math.Sqrt(3))}, 2}, // latitude 60
		{WebMercator(), orb.Point{0, 0}, 1 / (1 - 0.00669437999014)},  // northwards, a/M(0)
		{mustCRS(t, plotCRS), orb.Point{5, 5}, 1},
	} {
		got, err := PointScale(c.crs, c.at)
		if err != nil || math.Abs(got-c.want) > 1e-8 {
			t.Errorf("%s at %v: %.9f, want %.9f (%v)", c.crs.Name(), c.at, got, c.want, err)
		}
	}
	for _, c := range []CRS{WGS84(), {}} {
		if _, err := PointScale(c, orb.Point{0, 0}); err == nil {
			t.Errorf("%q has a scale", c.Name())
		}
	}
}
