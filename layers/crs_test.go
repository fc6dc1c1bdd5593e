package layers

import (
	"errors"
	"strings"
	"testing"
)

func mustCRS(t testing.TB, text string) CRS {
	t.Helper()
	c, err := ParseCRS(text)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

const plotCRS = `LOCAL_CS["plot",UNIT["metre",1]]`

// What the EPSG dataset says of these systems.
func TestCRSKinds(t *testing.T) {
	for _, c := range []struct {
		text, code                          string
		projected, geographic, local, metre bool
	}{
		{"EPSG:32617", "EPSG:32617", true, false, false, true},
		{" epsg:27700\n", "EPSG:27700", true, false, false, true},
		{"EPSG:4326", "EPSG:4326", false, true, false, false},
		{"urn:ogc:def:crs:EPSG::3035", "EPSG:3035", true, false, false, true},
		{"EPSG:2225", "EPSG:2225", true, false, false, false},  // California zone 1, US survey feet
		{"EPSG:4978", "EPSG:4978", false, false, false, false}, // geocentric
		{"+proj=laea +lat_0=52 +lon_0=10 +ellps=GRS80 +units=m", "", true, false, false, true},
		{"EPSG:27700+5701", "EPSG:27700", true, false, false, true}, // heights are left out
		{plotCRS, "", false, false, true, true},
		{`LOCAL_CS["plot in feet",UNIT["foot",0.3048]]`, "", false, false, true, false},
	} {
		got, err := ParseCRS(c.text)
		if err != nil {
			t.Errorf("%q: %v", c.text, err)
			continue
		}
		if got.Code() != c.code || got.IsProjected() != c.projected || got.IsGeographic() != c.geographic || got.IsLocal() != c.local || got.Metre() != c.metre {
			t.Errorf("%q: code %q, projected %v, geographic %v, local %v, metre %v", c.text, got.Code(), got.IsProjected(), got.IsGeographic(), got.IsLocal(), got.Metre())
		}
		if again := mustCRS(t, got.WKT()); again != got {
			t.Errorf("%q: its WKT reads as another: %s", c.text, again.WKT())
		}
	}
}

func TestCRSNonsense(t *testing.T) {
	for _, text := range []string{"", "x", "EPSG:", "EPSG:999999", "/etc/hostname", "crs_test.go", "http://127.0.0.1/crs", "/vsicurl/http://127.0.0.1/x", "PROJCS[", "+proj=nothing", "{}", strings.Repeat("[", 1000)} {
		c, err := ParseCRS(text)
		if !errors.Is(err, ErrCRS) || !c.IsZero() {
			t.Errorf("%.40q: %v, %v", text, c.Name(), err)
		}
	}
}

func TestCRSEqual(t *testing.T) {
	utm := mustCRS(t, "EPSG:32617")
	same := [][2]CRS{
		{utm, utm},
		{utm, mustCRS(t, "+proj=utm +zone=17 +datum=WGS84")},
		{WGS84(), mustCRS(t, "OGC:CRS84")}, // the same but for the axes
		{mustCRS(t, plotCRS), mustCRS(t, `LOCAL_CS["Plot",LOCAL_DATUM["Unknown",0],UNIT["metre",1],AXIS["Easting",EAST],AXIS["Northing",NORTH]]`)},
		{{}, {}},
	}
	for _, p := range same {
		if !p[0].Equal(p[1]) || !p[1].Equal(p[0]) {
			t.Errorf("%q and %q are not the same", p[0].Name(), p[1].Name())
		}
	}
	different := [][2]CRS{
		{utm, mustCRS(t, "EPSG:32618")},
		{utm, {}},
		{mustCRS(t, plotCRS), mustCRS(t, `LOCAL_CS["another plot",UNIT["metre",1]]`)},
		{mustCRS(t, plotCRS), mustCRS(t, `LOCAL_CS["plot",UNIT["foot",0.3048]]`)},
		{WGS84(), mustCRS(t, "EPSG:4269")},
	}
	for _, p := range different {
		if p[0].Equal(p[1]) || p[1].Equal(p[0]) {
			t.Errorf("%q and %q are the same", p[0].Name(), p[1].Name())
		}
	}
}

// One system has one text, whichever file names it; a code that stands for
// another definition is not believed.
func TestCRSRegistered(t *testing.T) {
	utm := mustCRS(t, "EPSG:32617")
	raster := openTest(t, "../testdata/bei/utm_nominal/elev.tif")
	vector := openVectorTest(t, "../testdata/bei/utm_nominal/window.gpkg", "")
	for what, got := range map[string]CRS{"GeoTIFF": raster.Info().CRS, "GeoPackage": vector.Info().CRS} {
		if got != utm {
			t.Errorf("a %s gives %s, EPSG %s", what, got.WKT(), utm.WKT())
		}
	}
	forged := strings.Replace(utm.WKT(), `"Longitude of natural origin",-81`, `"Longitude of natural origin",-80`, 1)
	if got := mustCRS(t, forged); got.Code() != "" || got.Equal(utm) {
		t.Errorf("another meridian passes for %s", got.Code())
	}
}
