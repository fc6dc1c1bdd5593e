package suitability

import (
	"context"
	"errors"
	"fmt"
	"image/color"
	"io"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/paulmach/orb"

	"tussock/layers"
)

// handmade is a map that a test writes cell by cell: at most one tile.
type handmade struct {
	grid                      layers.Grid
	species, audience, key    string
	breaks                    Classes
	values, classes, standing []uint8
	facts                     map[string]any // further properties of the item
}

// publish writes the rasters and the item, and opens it.
func (h handmade) publish(t testing.TB) *Version {
	t.Helper()
	folder := t.TempDir()
	key := h.key + strings.Repeat("0", 12)
	item := layers.StacItem{ID: h.species + "-" + key[:12], Title: "Handmade", Date: time.Date(2026, 6, 1, 0, 0, 0, 0, time.UTC), Grid: h.grid,
		Properties: map[string]any{"version": key, "tussock:audience": h.audience, "tussock:engine": "1", "tussock:species": "Manu facta", "tussock:map_cell": 1}}
	for name, v := range h.facts {
		item.Properties[name] = v
	}
	for plane, cells := range map[Plane][]uint8{SuitabilityPlane: h.values, ClassPlane: h.classes, StandingPlane: h.standing} {
		spec := layers.CogSpec{Grid: h.grid, Nodata: ByteNodata, Overviews: layers.Majority}
		if plane == ClassPlane {
			spec.Classes = h.breaks.Legend(nil)
		}
		name := plane.String() + ".tif"
		writeTiles(t, filepath.Join(folder, name), spec, cells)
		item.Assets = append(item.Assets, layers.StacAsset{Key: plane.String(), Href: "./" + name, Raster: &spec})
	}
	path := filepath.Join(folder, h.species+".json")
	if err := layers.Publish(path, func(w io.Writer) error { return layers.WriteStac(w, item) }); err != nil {
		t.Fatal(err)
	}
	v, err := OpenVersion(path)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// writeTiles writes cells of a grid that fits in one tile.
func writeTiles(t testing.TB, path string, spec layers.CogSpec, cells []uint8) {
	t.Helper()
	tile := slices.Repeat([]uint8{ByteNodata}, tileSide*tileSide)
	for row := range spec.Grid.Rows {
		copy(tile[row*tileSide:], cells[row*spec.Grid.Cols:][:spec.Grid.Cols])
	}
	raw := layers.NewTileCodec(layers.CogBytes, ByteNodata).EncodeBytes(nil, tile)
	w, err := layers.NewCog(spec)
	if err != nil {
		t.Fatal(err)
	}
	defer w.Close()
	if err := w.SetTile(0, 0, len(raw)); err != nil {
		t.Fatal(err)
	}
	err = layers.Publish(path, func(out io.Writer) error {
		return w.Write(out, func(int, int) ([]byte, error) { return raw, nil })
	})
	if err != nil {
		t.Fatal(err)
	}
}

// aLook is a look with a colour for everything.
func aLook(n int) ChangeLook {
	grey := func(i int) color.NRGBA { return color.NRGBA{uint8(i), uint8(i), 90, 255} }
	l := ChangeLook{Appeared: grey(1), Vanished: grey(2), Unknown: grey(3), Known: grey(4)}
	for i := range 201 {
		l.Difference = append(l.Difference, grey(i))
	}
	for i := range 2*n - 1 {
		l.Classes = append(l.Classes, grey(10*i))
	}
	return l
}

func compareGrid(t testing.TB) layers.Grid {
	crs, err := layers.ParseCRS("EPSG:32631")
	if err != nil {
		t.Fatal(err)
	}
	return layers.Grid{CRS: crs, West: 488000, North: 6215080, Cell: 25, Cols: 4, Rows: 3}
}

const no = ByteNodata

// Twelve cells, each with a fate of its own, counted by hand.
func twelve(t testing.TB) (old, now handmade) {
	const doc, out, exc, not = uint8(Documented), uint8(Outside), uint8(Excluded), uint8(NotAssessed)
	g := compareGrid(t)
	old = handmade{grid: g, species: "newt", audience: "staff", key: "aaaa", breaks: Classes{0.4, 0.8},
		values:   []uint8{10, 90, 170, 30, 100, no, no, 0, 160, 80, no, 120},
		classes:  []uint8{0, 1, 2, 0, 1, no, no, 0, 2, 1, no, 1},
		standing: []uint8{doc, doc, doc, doc, doc, out, not, exc, doc, doc, not, doc}}
	now = handmade{grid: g, species: "newt", audience: "staff", key: "bbbb", breaks: Classes{0.4, 0.8},
		values:   []uint8{10, 170, 30, 33, no, 100, 81, 0, no, 0, no, 120},
		classes:  []uint8{0, 2, 0, 0, no, 1, 1, 0, no, 0, no, 1},
		standing: []uint8{doc, doc, doc, doc, not, doc, doc, exc, out, exc, not, uint8(Uncertain)}}
	return old, now
}

func TestCompareByHand(t *testing.T) {
	a, b := twelve(t)
	old, now := a.publish(t), b.publish(t)
	folder := t.TempDir()
	c, err := Compare(context.Background(), old, now, ChangeRasters{folder, aLook(3)})
	if err != nil {
		t.Fatal(err)
	}
	// From rows (class 1, 2, 3, not shown, excluded, not assessed) to the same columns.
	want := [][]uint64{
		{2, 0, 0, 0, 0, 0}, // cells 0 and 3
		{0, 1, 1, 0, 1, 1}, // 11; 1; 9; 4
		{1, 0, 0, 1, 0, 0}, // 2; 8
		{0, 1, 0, 0, 0, 0}, // 5
		{0, 0, 0, 0, 1, 0}, // 7
		{0, 1, 0, 0, 0, 1}, // 6; 10
	}
	if fmt.Sprint(c.Matrix.Cells) != fmt.Sprint(want) {
		t.Errorf("matrix %v, want %v", c.Matrix.Cells, want)
	}
	ground, err := layers.GeodesicArea(a.grid.CRS, orb.Polygon{a.grid.Bound(a.grid.Window()).ToRing()})
	if err != nil {
		t.Fatal(err)
	}
	cell := ground / 12 / 1e4 // hectares
	if math.Abs(cell/0.0625-1) < 1e-4 {
		t.Errorf("a cell of %g ha is the map's, not the ground's", cell)
	}
	for i, row := range want {
		for k, n := range row {
			if got := c.Matrix.Hectares[i][k]; math.Abs(got-cell*float64(n)) > 1e-4 {
				t.Errorf("hectares from %s to %s: %g, want %g", c.Matrix.Old[i], c.Matrix.New[k], got, cell*float64(n))
			}
		}
	}
	for what, c := range map[string]struct {
		got  Area
		want uint64
	}{
		"shown": {c.Shown, 10}, "changed": {c.Changed, 9}, "numbers": {c.Values, 8}, "standings": {c.Standings, 6},
		"up": {c.Moves.Up, 1}, "down": {c.Moves.Down, 1}, "appeared": {c.Moves.Appeared, 1}, "vanished": {c.Moves.Vanished, 2},
		"unknown": {c.Moves.Unknown, 1}, "known": {c.Moves.Known, 1},
	} {
		if c.got.Cells != c.want || math.Abs(c.got.Hectares-cell*float64(c.want)) > 1e-4 {
			t.Errorf("%s: %+v, want %d cells", what, c.got, c.want)
		}
	}
	if c.Same || *c.Unchanged != 0.2 { // cells 0 and 11 of ten
		t.Errorf("same %v, unchanged %v", c.Same, *c.Unchanged)
	}
	if up := (Extreme{0.4, 1, 0, orb.Point{488037.5, 6215067.5}}); *c.GreatestUp != up {
		t.Errorf("greatest rise %+v, want %+v", *c.GreatestUp, up)
	}
	if off := (Extreme{-0.7, 2, 0, orb.Point{488062.5, 6215067.5}}); *c.GreatestOff != off {
		t.Errorf("greatest fall %+v, want %+v", *c.GreatestOff, off)
	}
	if k := c.Classes[1]; k.Name != "class 2 (0.4 to 0.8)" || math.Abs(k.Gained-2*cell) > 1e-4 || math.Abs(k.Lost-3*cell) > 1e-4 ||
		math.Abs(k.Old-4*cell) > 1e-4 || math.Abs(k.New-3*cell) > 1e-4 {
		t.Errorf("class 2: %+v", k)
	}
	difference := []uint8{100, 140, 30, 102, no, no, no, 100, no, 60, no, 100} // +3 steps, away from 0: 2 hundredths
	if got := bytesOf(t, filepath.Join(folder, c.Files["difference"]), a.grid); !slices.Equal(got, difference) {
		t.Errorf("difference %v, want %v", got, difference)
	}
	change := []uint8{100, 101, 98, 100, 203, 201, 204, no, 202, 202, no, 100}
	if got := bytesOf(t, filepath.Join(folder, c.Files["change"]), a.grid); !slices.Equal(got, change) {
		t.Errorf("change %v, want %v", got, change)
	}
}

// Backwards, everything turns round; against itself, nothing differs; twice, the
// bytes are the same.
func TestCompareLaws(t *testing.T) {
	a, b := twelve(t)
	old, now := a.publish(t), b.publish(t)
	compare := func(x, y *Version, folder string) *Comparison {
		c, err := Compare(context.Background(), x, y, ChangeRasters{folder, aLook(3)})
		if err != nil {
			t.Fatal(err)
		}
		return c
	}
	one, two := t.TempDir(), t.TempDir()
	there, again, back := compare(old, now, one), compare(old, now, two), compare(now, old, "")
	for i, row := range there.Matrix.Cells {
		for k, n := range row {
			if back.Matrix.Cells[k][i] != n {
				t.Errorf("from %d to %d: %d there, %d back", i, k, n, back.Matrix.Cells[k][i])
			}
		}
	}
	if there.Moves.Up != back.Moves.Down || there.Moves.Appeared != back.Moves.Vanished || there.GreatestUp.Change != -back.GreatestOff.Change {
		t.Errorf("there %+v, back %+v", there.Moves, back.Moves)
	}
	if self := compare(old, old, ""); !self.Same || self.Changed.Cells != 0 || self.GreatestUp != nil || len(self.Files) > 0 || *self.Unchanged != 1 {
		t.Errorf("against itself: %+v", self)
	}
	for name, file := range again.Files {
		x, err := os.ReadFile(filepath.Join(one, file))
		if err != nil {
			t.Fatal(err)
		}
		y, err := os.ReadFile(filepath.Join(two, file))
		if err != nil || string(x) != string(y) {
			t.Errorf("%s: %s differs the second time: %v", name, file, err)
		}
	}
	left, err := os.ReadDir(filepath.Join(one, "newt"))
	if err != nil || len(left) != 7 { // two rasters with names and style, and the item
		t.Errorf("%v, %v", left, err)
	}
}

func TestCompareRefuses(t *testing.T) {
	a, b := twelve(t)
	for name, c := range map[string]struct {
		spoil func(*handmade)
		is    error
		words []string
	}{
		"another species":  {func(h *handmade) { h.species = "toad" }, ErrNotComparable, []string{"newt", "toad"}},
		"another audience": {func(h *handmade) { h.audience = "public" }, ErrNotComparable, []string{"staff", "public"}},
		"another cell":     {func(h *handmade) { h.grid.Cell = 50 }, ErrGrids, []string{"of 25 m", "of 50 m"}},
		"another place":    {func(h *handmade) { h.grid.West += 25 }, ErrGrids, []string{"from 488000", "from 488025"}},
		"another extent":   {func(h *handmade) { h.grid.Rows-- }, ErrGrids, []string{"4 by 3", "4 by 2"}},
		"another CRS":      {func(h *handmade) { h.grid.CRS = layers.WebMercator() }, ErrGrids, []string{"EPSG:32631", "EPSG:3857"}},
		"a strange class":  {func(h *handmade) { h.classes = slices.Clone(h.classes); h.classes[5] = 7 }, nil, []string{"column 1, row 1", "class 7"}},
	} {
		other := b
		c.spoil(&other)
		_, err := Compare(context.Background(), a.publish(t), other.publish(t), ChangeRasters{})
		if err == nil || c.is != nil && !errors.Is(err, c.is) {
			t.Errorf("%s: %v", name, err)
			continue
		}
		for _, word := range c.words {
			if !strings.Contains(err.Error(), word) {
				t.Errorf("%s: %v does not say %q", name, err, word)
			}
		}
	}
}

// Where class breaks differ, steps between classes mean nothing.
func TestCompareDifferentClasses(t *testing.T) {
	a, b := twelve(t)
	b.breaks = Classes{0.3, 0.5, 0.9}
	folder := t.TempDir()
	c, err := Compare(context.Background(), a.publish(t), b.publish(t), ChangeRasters{folder, aLook(4)})
	if err != nil {
		t.Fatal(err)
	}
	if c.Comparable || len(c.Classes) > 0 || c.Moves.Up.Cells+c.Moves.Down.Cells > 0 || c.Moves.Appeared.Cells != 1 || len(c.Matrix.Cells) != 6 || len(c.Matrix.Cells[0]) != 7 {
		t.Errorf("%+v", c)
	}
	change := []uint8{100, 100, 100, 100, 203, 201, 204, no, 202, 202, no, 100}
	if got := bytesOf(t, filepath.Join(folder, c.Files["change"]), a.grid); !slices.Equal(got, change) {
		t.Errorf("change %v, want %v", got, change)
	}
	if len(c.Parts) != 1 || c.Parts[0].Kind != PartBreaks {
		t.Errorf("parts %+v", c.Parts)
	}
}

func TestItemsThatAreNone(t *testing.T) {
	folder := t.TempDir()
	for name, text := range map[string]string{
		"no JSON": "{", "no item": "{}", "a number of species": `{"properties":{"version":"123456789abc","tussock:audience":"staff","tussock:engine":"1"}}`,
		"no species":    `{"id":"newt","properties":{"version":"123456789abc","tussock:audience":"staff","tussock:engine":"1","tussock:species":""}}`,
		"another place": `{"id":"../newt-123456789abc","properties":{"version":"123456789abc","tussock:audience":"staff","tussock:engine":"1","tussock:species":""}}`,
		"no rasters":    `{"id":"newt-123456789abc","properties":{"version":"123456789abc","tussock:audience":"staff","tussock:engine":"1","tussock:species":""}}`,
		"a way out":     `{"id":"newt-123456789abc","properties":{"version":"123456789abc","tussock:audience":"staff","tussock:engine":"1","tussock:species":""},"assets":{"suitability":{"href":"../../x.tif"}}}`,
	} {
		path := filepath.Join(folder, "item.json")
		if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		if _, err := OpenVersion(path); !errors.Is(err, ErrNoSurface) || !strings.Contains(err.Error(), path) {
			t.Errorf("%s: %v", name, err)
		}
	}
	if _, err := OpenVersion(filepath.Join(folder, "nothing.json")); !errors.Is(err, os.ErrNotExist) {
		t.Error(err)
	}
}
