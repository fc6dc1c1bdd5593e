package layers

import (
	"encoding/json"
	"errors"
	"math"
	"math/rand/v2"
	"os"
	"testing"

	"github.com/paulmach/orb"
)

func reference(t testing.TB, name string, into any) {
	t.Helper()
	raw, err := os.ReadFile("../testdata/references/" + name)
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(raw, into); err != nil {
		t.Fatal(err)
	}
}

func sourceSeed(t testing.TB) *rand.Rand {
	t.Helper()
	seed := rand.Uint64()
	t.Logf("seed %d", seed)
	return rand.New(rand.NewPCG(seed, 3))
}

const (
	gridOfBritain = "+proj=tmerc +lat_0=49 +lon_0=-2 +k=0.9996012717 +x_0=400000 +y_0=-100000 +ellps=airy"
	lakesAlbers   = "+proj=aea +lat_0=45.568977 +lon_0=-84.455955 +lat_1=42.122774 +lat_2=49.01518 +x_0=1000000 +y_0=1000000 +ellps=GRS80"
)

// systemsOf are the two systems of each check in projection_checks.json, on one
// datum: the projections are under test.
var systemsOf = map[string][2]string{
	"EPSG GN7-2 TM / British National Grid":                {"+proj=longlat +ellps=airy", gridOfBritain},
	"OS guide Annex C":                                     {"+proj=longlat +ellps=airy", gridOfBritain},
	"EPSG GN7-2 / GIGS 5110 LAEA EPSG:3035":                {"EPSG:4258", "EPSG:3035"},
	"GIGS 5110":                                            {"EPSG:4258", "EPSG:3035"},
	"GIGS 5110 origin":                                     {"EPSG:4258", "EPSG:3035"},
	"EPSG GN7-2 pseudo-Mercator 3857":                      {"EPSG:4326", "EPSG:3857"},
	"EPSG GN7-2 Albers (Great Lakes Albers params, GRS80)": {"+proj=longlat +ellps=GRS80", lakesAlbers},
	"EPSG GN7-2 LCC 2SP (ftUS)":                            {"EPSG:4267", "EPSG:32040"}, // Texas South Central
	"EPSG GN7-2 LCC 1SP JAD69":                             {"EPSG:4242", "EPSG:24200"},
	"EPSG GN7-2 Mercator A (Makassar)":                     {"EPSG:4257", "EPSG:3002"},
	"EPSG GN7-2 Oblique stereographic (RD)":                {"EPSG:4289", "EPSG:28992"},
	"EPSG GN7-2 UPS North":                                 {"EPSG:4326", "EPSG:32661"}, // its own axes run north, east
	"UTM 31N (PROJ)":                                       {"EPSG:4326", "EPSG:32631"},
	"UTM 30N (PROJ)":                                       {"EPSG:4326", "EPSG:32630"},
}

// Published eastings and northings, both ways (projection_checks.json names the
// sources).
func TestTransformPublishedPoints(t *testing.T) {
	var checks []struct {
		Name     string
		Lat, Lon float64
		E, N     float64
		Tol      float64
	}
	reference(t, "projection_checks.json", &checks)
	if len(checks) < 20 {
		t.Fatalf("only %d checks", len(checks))
	}
	for _, c := range checks {
		systems, known := systemsOf[c.Name]
		if !known {
			t.Errorf("no systems are known for %q", c.Name)
			continue
		}
		from, to := mustCRS(t, systems[0]), mustCRS(t, systems[1])
		if got := moved(t, from, to, orb.Point{c.Lon, c.Lat}); math.Abs(got[0]-c.E) > c.Tol || math.Abs(got[1]-c.N) > c.Tol {
			t.Errorf("%s: %.9g, %.9g gives %.4f, %.4f, published are %.4f, %.4f", c.Name, c.Lon, c.Lat, got[0], got[1], c.E, c.N)
		}
		// A metre is 0.9e-5 degrees of latitude and never under that of longitude.
		if got := moved(t, to, from, orb.Point{c.E, c.N}); math.Abs(got[0]-c.Lon) > 3e-5*max(c.Tol, 1e-3) || math.Abs(got[1]-c.Lat) > 1.1e-5*max(c.Tol, 1e-3) {
			t.Errorf("%s: back to %.9f, %.9f instead of %.9f, %.9f", c.Name, got[0], got[1], c.Lon, c.Lat)
		}
	}
}

func moved(t testing.TB, from, to CRS, p orb.Point) orb.Point {
	t.Helper()
	transform, err := NewTransform(from, to)
	if err != nil {
		t.Fatal(err)
	}
	defer transform.Close()
	g, err := transform.Geometry(p)
	if err != nil {
		t.Fatal(err)
	}
	return g.(orb.Point)
}

// What has no place is NaN and harms no neighbour, whatever it is.
func TestTransformPointsWithoutPlace(t *testing.T) {
	transform, err := NewTransform(WGS84(), mustCRS(t, "EPSG:3035"))
	if err != nil {
		t.Fatal(err)
	}
	defer transform.Close()
	inf, nan := math.Inf(1), math.NaN()
	xs, ys := []float64{10, inf, 10, nan, 10, -inf, 10, 10, 0, 10}, []float64{52, 52, inf, 52, nan, -inf, 1e300, 95, 52, 52}
	if err := transform.Points(xs, ys); err != nil {
		t.Fatal(err)
	}
	for i := range xs {
		known := i == 0 || i >= 8
		if math.IsNaN(xs[i]) == known || math.IsNaN(ys[i]) == known {
			t.Errorf("point %d: %g, %g", i, xs[i], ys[i])
		}
	}
	if xs[0] != xs[9] || ys[0] != ys[9] || math.Abs(xs[0]-4321000) > 1e-3 {
		t.Errorf("its neighbours moved to %g, %g", xs[9], ys[9])
	}
	if _, err := transform.Geometry(orb.LineString{{10, 52}, {10, 95}}); !errors.Is(err, ErrCRS) {
		t.Errorf("a line to beyond the pole: %v", err)
	}
}

// A point's place never depends on the other points, even where PROJ chooses
// between several shifts of datum.
func TestTransformPointsAlone(t *testing.T) {
	r := sourceSeed(t)
	transform, err := NewTransform(mustCRS(t, "EPSG:4267"), WGS84()) // NAD27
	if err != nil {
		t.Fatal(err)
	}
	defer transform.Close()
	const n = 400
	xs, ys := make([]float64, n), make([]float64, n)
	for i := range xs {
		xs[i], ys[i] = -165+110*r.Float64(), 8+75*r.Float64()
	}
	together, upward := append([]float64(nil), xs...), append([]float64(nil), ys...)
	if err := transform.Points(together, upward); err != nil {
		t.Fatal(err)
	}
	for _, i := range r.Perm(n) {
		x, y := xs[i:i+1], ys[i:i+1]
		given := orb.Point{x[0], y[0]}
		if err := transform.Points(x, y); err != nil {
			t.Fatal(err)
		}
		if x[0] != together[i] || y[0] != upward[i] {
			t.Errorf("%v goes to %g, %g alone and to %g, %g in company", given, x[0], y[0], together[i], upward[i])
		}
	}
}

func TestTransformLocal(t *testing.T) {
	plot := mustCRS(t, plotCRS)
	for _, to := range []CRS{WGS84(), {}, mustCRS(t, `LOCAL_CS["another plot",UNIT["metre",1]]`)} {
		if _, err := NewTransform(plot, to); !errors.Is(err, ErrCRS) {
			t.Errorf("a local system was joined to %q: %v", to.Name(), err)
		}
	}
	if got := moved(t, plot, plot, orb.Point{1, 2}); got != (orb.Point{1, 2}) {
		t.Errorf("the identity moves to %v", got)
	}
}

func TestTransformGeometries(t *testing.T) {
	ring := orb.Ring{{1, 50}, {2, 50}, {2, 51}, {1, 50}}
	all := orb.Collection{
		orb.Point{1, 50}, orb.MultiPoint{{1, 50}}, orb.LineString{{1, 50}, {2, 51}}, orb.MultiLineString{{{1, 50}, {2, 51}}},
		ring, orb.Polygon{ring}, orb.MultiPolygon{{ring}}, orb.Bound{Min: orb.Point{1, 50}, Max: orb.Point{2, 51}}, orb.Collection{orb.Point{1, 50}},
	}
	transform, err := NewTransform(WGS84(), WebMercator())
	if err != nil {
		t.Fatal(err)
	}
	g, err := transform.Geometry(all)
	if err != nil {
		t.Fatal(err)
	}
	// Spherical Mercator by its formula (EPSG method 1024).
	x := func(lon float64) float64 { return 6378137 * lon * math.Pi / 180 }
	y := func(lat float64) float64 { return 6378137 * math.Log(math.Tan(math.Pi/4+lat*math.Pi/360)) }
	for i, part := range g.(orb.Collection) {
		if b := part.Bound(); math.Abs(b.Min[0]-x(1)) > 1e-6 || math.Abs(b.Min[1]-y(50)) > 1e-6 {
			t.Errorf("%T moved to %v", all[i], b)
		}
	}
	if b := all.Bound(); b.Min != (orb.Point{1, 50}) || b.Max != (orb.Point{2, 51}) {
		t.Errorf("the geometry given was changed to %v", b)
	}
	if err := transform.Close(); err != nil {
		t.Fatal(err)
	}
	if err := transform.Close(); !errors.Is(err, ErrClosed) {
		t.Errorf("a second Close: %v", err)
	}
}

// Offline, NAD27 has only shifts by three parameters; the EPSG dataset states 5
// to 44 m for them. OSGB36 to WGS 84 (6) is stated as 2 m (EPSG 1314).
func TestDatumShift(t *testing.T) {
	massachusetts := orb.Point{-71.5, 42.3}
	old, err := DatumShift(mustCRS(t, "EPSG:4267"), mustCRS(t, "EPSG:32619"), massachusetts)
	if err != nil || old.Approximate || !(old.Accuracy > 5 && old.Accuracy < 50) || old.Warning() == "" {
		t.Errorf("NAD27: %+v, %v", old, err)
	}
	britain, err := DatumShift(mustCRS(t, "EPSG:27700"), WGS84(), orb.Point{400000, 100000})
	if err != nil || britain.Accuracy > 2 || britain.Warning() != "" {
		t.Errorf("OSGB36: %+v, %v", britain, err)
	}
	same, err := DatumShift(WGS84(), WebMercator(), massachusetts)
	if err != nil || same.Accuracy != 0 || same.Warning() != "" {
		t.Errorf("one datum: %+v, %v", same, err)
	}
	unjoined, err := DatumShift(mustCRS(t, "+proj=longlat +ellps=airy"), WGS84(), massachusetts)
	if err != nil || !unjoined.Approximate || unjoined.Warning() == "" {
		t.Errorf("an unknown datum: %+v, %v", unjoined, err)
	}
	if _, err := DatumShift(mustCRS(t, plotCRS), WGS84(), massachusetts); !errors.Is(err, ErrCRS) {
		t.Errorf("a local system: %v", err)
	}
}
