package tiles

import (
	"math"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"pgregory.net/rapid"
)

// OGC 17-083r4, WebMercatorQuad (webmercatorquad.csv).
func TestMatrixMatchesTheStandard(t *testing.T) {
	for _, row := range referenceRows(t, "webmercatorquad.csv") {
		z := int(number(t, row[0]))
		if got, want := ScaleDenominator(z), number(t, row[1]); math.Abs(got/want-1) > 1e-12 {
			t.Errorf("zoom %d: scale denominator %.12g, want %.12g", z, got, want)
		}
		if got, want := CellSize(z), number(t, row[2]); math.Abs(got/want-1) > 1e-12 {
			t.Errorf("zoom %d: cell size %.15g, want %.15g", z, got, want)
		}
		if got, want := 1<<z, int(number(t, row[3])); got != want {
			t.Errorf("zoom %d: %d tiles across, want %d", z, got, want)
		}
	}
	if math.Abs(halfSide-20037508.3427892) > 1e-7 {
		t.Errorf("point of origin %.7f, want 20037508.3427892", halfSide)
	}
}

// Addresses recomputed from the formulae of the XYZ scheme; 10/486/332's bounds
// likewise.
func TestTileAt(t *testing.T) {
	cases := []struct {
		lon, lat float64
		want     string
	}{
		{20.6852, 40.1222, "9/285/193"}, {2.2945, 48.8584, "14/8296/5636"}, {-1.96, 50.65, "14/8102/5510"},
		{-1.96, 50.65, "10/506/344"}, {174.7633, -36.8485, "14/16145/9998"}, {0, 0, "0/0/0"},
		{-180, 85.06, "3/0/0"}, {180, -89, "3/7/7"},
	}
	for _, c := range cases {
		z := int(c.want[0] - '0')
		if i := strings.IndexByte(c.want, '/'); i == 2 {
			z = 10 + int(c.want[1]-'0')
		}
		if got := TileAt(orb.Point{c.lon, c.lat}, z).String(); got != c.want {
			t.Errorf("TileAt(%g, %g, %d) = %s, want %s", c.lon, c.lat, z, got, c.want)
		}
	}
	b := (Tile{10, 486, 332}).Bound()
	for i, want := range []float64{-9.140625, 53.120405283, -8.7890625, 53.330872983} {
		if got := []float64{b.Min[0], b.Min[1], b.Max[0], b.Max[1]}[i]; math.Abs(got-want) > 1e-9 {
			t.Errorf("10/486/332: bound %d is %.9f, want %.9f", i, got, want)
		}
	}
}

// MBTiles 1.3: "11/327/791 is inserted as tile_row 1256".
func TestRowFromSouth(t *testing.T) {
	if got := (Tile{11, 327, 791}).RowFromSouth(); got != 1256 {
		t.Errorf("row %d, want 1256", got)
	}
}

func TestTileBoundHoldsItsPoints(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := orb.Point{rapid.Float64Range(-179.999, 179.999).Draw(t, "lon"), rapid.Float64Range(-85, 85).Draw(t, "lat")}
		z := rapid.IntRange(0, MaxZoom).Draw(t, "z")
		tile := TileAt(p, z)
		if b := tile.Bound().Pad(1e-9); tile.Check() != nil || !b.Contains(p) {
			t.Fatalf("%v at zoom %d went to %v, which covers %v", p, z, tile, b)
		}
	})
}

// Metres a pixel at 50.7° N on the sphere: zoom 10 96.8275, zoom 14 6.05172
// (recomputed from OGC 17-083r4's cell sizes).
func TestNativeZoom(t *testing.T) {
	if got := groundPixel(10, 256, 50.7); math.Abs(got-96.8275) > 1e-4 {
		t.Errorf("zoom 10: %.4f m a pixel", got)
	}
	if got := groundPixel(14, 256, 50.7); math.Abs(got-6.05172) > 1e-5 {
		t.Errorf("zoom 14: %.5f m a pixel", got)
	}
	cases := []struct {
		cell         float64
		size, native int
		deepest      int
	}{{97, 256, 10, 9}, {96, 256, 11, 10}, {6.06, 256, 14, 13}, {10, 256, 14, 13}, {10, 512, 13, 12}, {1e9, 256, 0, 0}}
	for _, c := range cases {
		if got := nativeZoom(c.cell, c.size, 50.7); got != c.native {
			t.Errorf("cell %g, %d px: native zoom %d, want %d", c.cell, c.size, got, c.native)
		}
		if got := deepestZoom(c.cell, c.size, 50.7); got != c.deepest {
			t.Errorf("cell %g, %d px: deepest zoom %d, want %d", c.cell, c.size, got, c.deepest)
		}
	}
}

func TestParseTile(t *testing.T) {
	if got, err := ParseTile("12/3423/1763"); err != nil || got != (Tile{12, 3423, 1763}) {
		t.Errorf("got %v, %v", got, err)
	}
	for _, bad := range []string{"", "1/2", "1/2/3/4", "1/2/0", "-1/0/0", "25/0/0", "1/0x1/0", "1/ 0/0", "1/00/0",
		"1/+1/0", "1/0/99999999999999999999", "1/٣/0"} {
		if got, err := ParseTile(bad); err == nil {
			t.Errorf("ParseTile(%q) = %v; want an error", bad, got)
		}
	}
}

func FuzzParseTile(f *testing.F) {
	for _, seed := range []string{"0/0/0", "12/3423/1763", "24/0/16777215", "1/2/0", "a/b/c", "//"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		tile, err := ParseTile(text)
		if err != nil {
			return
		}
		if tile.String() != text {
			t.Fatalf("%q read as %v", text, tile)
		}
		if back, ok := tileOf(tile.ID()); !ok || back != tile {
			t.Fatalf("%v came back from its id as %v", tile, back)
		}
	})
}
