package layers

import (
	"errors"
	"image/color"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/paulmach/orb"
)

// esriGrid writes an Esri ASCII grid, as a GeoTIFF where it has a CRS.
func esriGrid(t testing.TB, crs CRS, west, south, cell float64, header string, rows ...string) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "grid.asc")
	text := "ncols " + wholeText(len(strings.Fields(rows[0]))) + "\nnrows " + wholeText(len(rows)) + "\n" +
		"xllcorner " + keyNumber(west) + "\nyllcorner " + keyNumber(south) + "\ncellsize " + keyNumber(cell) + "\n" + header + strings.Join(rows, "\n") + "\n"
	if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	if crs.IsZero() {
		return path
	}
	tiff := strings.TrimSuffix(path, ".asc") + ".tif"
	gdalProgram(t, "gdal_translate", "-q", "-a_srs", crs.Code(), path, tiff)
	return tiff
}

func wholeText(n int) string { return keyNumber(float64(n)) }

var landUse = []Class{{Value: 1, Name: "water", Colour: color.NRGBA{B: 255, A: 255}}, {Value: 2, Name: "heath"}, {Value: 7, Name: "bog"}, {Value: 9, Name: "heath"}}

func smallGrid(t testing.TB, cols, rows float64) Grid {
	return gridOver(t, parsed(t, "EPSG:32617"), 10, 500000, 1000000, 500000+10*cols, 1000000+10*rows)
}

func TestOpenClasses(t *testing.T) {
	g := smallGrid(t, 4, 2)
	path := esriGrid(t, g.CRS, 500000, 1000000, 10, "NODATA_value -9999\n", "1 2 7 9", "-9999 2 2 1")
	s := openedSet(t, g, LayerSpec{Name: "cover", Kind: Classes, Source: path, Classes: landUse})
	b := readWhole(t, s, "cover")
	if want := []uint8{0, 1, 2, 1, NoClass, 1, 1, 0}; !slices.Equal(b.Codes, want) {
		t.Errorf("codes %v, want %v: numbers that share a name are one class", b.Codes, want)
	}
	layer, err := s.Layer("cover")
	if err != nil || len(layer.Classes) != 3 || layer.Classes[0].Colour.B != 255 {
		t.Fatalf("classes %+v, %v", layer.Classes, err)
	}
	for class, want := range map[string]uint8{"water": 0, "heath": 1, "bog": 2, "7": 2, "1": 0} {
		if code, ok := layer.ClassIndex(class); !ok || code != want {
			t.Errorf("ClassIndex(%q) = %d, %v", class, code, ok)
		}
	}
	if _, ok := layer.ClassIndex("fen"); ok {
		t.Error("there is no fen")
	}
	outside, err := s.Read("cover", Window{Col: -3, Row: -1, Cols: 4, Rows: 2})
	if err != nil || outside.Code(0, 0) != 0 || outside.Code(-1, 0) != NoClass || outside.Code(0, -1) != NoClass {
		t.Errorf("codes %v, %v", outside.Codes, err)
	}
}

// The project's names and colours go before the file's, which remain otherwise.
func TestOpenClassesFromFile(t *testing.T) {
	info, err := OpenRaster(puertoRico, 1)
	if err != nil {
		t.Fatal(err)
	}
	defer info.Close()
	affine := info.Info().Affine
	g := Grid{CRS: info.Info().CRS, West: affine[0], North: affine[3], Cell: affine[1], Cols: 84, Rows: 46}
	s := openedSet(t, g, LayerSpec{Name: "cover", Kind: Classes, Source: puertoRico, Classes: []Class{{Value: 0, Name: "elsewhere"}, {Value: 11, Name: "sea"}}})
	layer, _ := s.Layer("cover")
	sea, ok := layer.ClassIndex("sea")
	if !ok || layer.Classes[sea].Colour != (color.NRGBA{71, 107, 161, 255}) { // the file's colour table
		t.Errorf("sea is %+v", layer.Classes[sea])
	}
	count := map[string]int{}
	for _, code := range readWhole(t, s, "cover").Codes {
		count[layer.Classes[code].Name]++
	}
	// Cells by class, from the README beside the file.
	for name, want := range map[string]int{"elsewhere": 2615, "sea": 252, "Evergreen Forest": 456, "Woody Wetlands": 10} {
		if count[name] != want {
			t.Errorf("%s: %d cells, want %d", name, count[name], want)
		}
	}
}

func TestOpenUnknownClass(t *testing.T) {
	g := smallGrid(t, 4, 2)
	path := esriGrid(t, g.CRS, 500000, 1000000, 10, "", "1 2 7 9", "5 2 2 1")
	s := openedSet(t, g, LayerSpec{Name: "cover", Kind: Classes, Source: path, Classes: landUse})
	_, err := s.Read("cover", g.Window())
	var unknown *UnknownClassError
	if !errors.As(err, &unknown) || unknown.Value != "5" || unknown.Col != 0 || unknown.Row != 1 || unknown.At != (orb.Point{500005, 1000005}) {
		t.Fatalf("got %+v", err)
	}
	for _, part := range []string{`layer "cover"`, "grid.tif", "number 5", "column 0, row 1", "hint: name it", "nodata: 5"} {
		if !strings.Contains(err.Error(), part) {
			t.Errorf("%q does not say %q", err, part)
		}
	}
	if _, err := s.Read("cover", Window{Col: 1, Cols: 3, Rows: 2}); err != nil {
		t.Errorf("the window does not hold it: %v", err)
	}
	five := 5.0
	s = openedSet(t, g, LayerSpec{Name: "cover", Kind: Classes, Source: path, Classes: landUse, Nodata: &five})
	if b := readWhole(t, s, "cover"); b.Code(0, 1) != NoClass || b.Code(0, 0) != 0 {
		t.Errorf("codes %v: 5 is nodata", b.Codes)
	}
}

// Nodata is never 0, whatever the way to resample.
func TestOpenNodata(t *testing.T) {
	g := smallGrid(t, 4, 2)
	path := esriGrid(t, g.CRS, 500000, 1000000, 10, "NODATA_value 0\n", "1 2 7 9", "0 0 0 1.5")
	for _, how := range []Resample{Nearest, Bilinear, Average} {
		s := openedSet(t, g, LayerSpec{Name: "q", Kind: Quantity, Source: path, Resample: how})
		b := readWhole(t, s, "q")
		if v := b.Value(1, 1); v == v || b.Value(3, 0) != 9 {
			t.Errorf("%v: values %v", how, b.Values)
		}
	}
}

func TestOpenRefuses(t *testing.T) {
	t.Parallel()
	g := smallGrid(t, 4, 2)
	named := esriGrid(t, g.CRS, 500000, 1000000, 10, "", "1 2", "3 4")
	lost := esriGrid(t, CRS{}, 500000, 1000000, 10, "", "1 2", "3 4")
	ponds := featureFile(t, "EPSG:32617", []orb.Geometry{orb.Point{500005, 1000005}}, nil)
	for _, c := range []struct {
		spec LayerSpec
		want string
	}{
		{LayerSpec{Name: "x", Source: named}, "no kind"},
		{LayerSpec{Name: "x", Kind: Quantity}, "no source"},
		{LayerSpec{Name: "x", Kind: Quantity, Source: "nowhere.tif"}, "nowhere.tif"},
		{LayerSpec{Name: "x", Kind: Quantity, Source: named, Band: 4}, "band 4"},
		{LayerSpec{Name: "x", Kind: Quantity, Source: lost}, "hint"},
		{LayerSpec{Name: "x", Kind: Classes, Source: named}, "hint: list its numbers"},
		{LayerSpec{Name: "x", Kind: Classes, Source: named, Resample: Average}, "use nearest or majority"},
		{LayerSpec{Name: "x", Kind: Quantity, Source: named, Resample: Majority}, "use nearest, bilinear"},
		{LayerSpec{Name: "x", Kind: Quantity, Source: named, Classes: landUse}, "kind classes"},
		{LayerSpec{Name: "x", Kind: Classes, Source: named, Classes: []Class{{Value: 3}}}, "class 3 has no name"},
		{LayerSpec{Name: "x", Kind: Quantity, Source: ponds}, "hint: it holds features"},
		{LayerSpec{Name: "x", Kind: Features, Source: ponds, TrafficField: "kimd"}, `did you mean "kind"`},
		{LayerSpec{Name: "x", Kind: Classes, Source: ponds, ClassField: "use"}, "hint: it has kind, n"},
	} {
		_, err := OpenLayer(c.spec, g)
		if err == nil || !strings.Contains(err.Error(), c.want) || !strings.Contains(err.Error(), `layer "x"`) {
			t.Errorf("%+v: %v, want %q", c.spec, err, c.want)
		}
	}
}

func TestOpenInvalidGeometry(t *testing.T) {
	g := smallGrid(t, 4, 2)
	bow := orb.Polygon{{{500000, 1000000}, {500020, 1000020}, {500020, 1000000}, {500000, 1000020}, {500000, 1000000}}}
	path := featureFile(t, "EPSG:32617", []orb.Geometry{orb.Point{500005, 1000005}, bow}, nil)
	_, err := OpenLayer(LayerSpec{Name: "ponds", Kind: Features, Source: path}, g)
	var bad *FeatureError
	if !errors.As(err, &bad) || bad.Layer != "ponds" || bad.FID != 2 || bad.At != (orb.Point{500010, 1000010}) || bad.Hint == "" {
		t.Fatalf("got %v", err)
	}
}

func TestOpenFeatureClasses(t *testing.T) {
	g := smallGrid(t, 4, 2)
	square := func(col, cols float64) orb.Geometry {
		return orb.Bound{Min: orb.Point{500000 + 10*col, 1000000}, Max: orb.Point{500000 + 10*(col+cols), 1000020}}.ToPolygon()
	}
	kinds := []string{"fen", "bog", "", "fen"}
	path := featureFile(t, "EPSG:32617", []orb.Geometry{square(1, 1), square(0, 2), square(2, 1), square(2, 1)}, func(i int) string { return kinds[i] })
	spec := LayerSpec{Name: "soil", Kind: Classes, Source: path, ClassField: "kind"}
	s := openedSet(t, g, spec)
	if b := readWhole(t, s, "soil"); !slices.Equal(b.CodeRow(0), []uint8{0, 1, 1, NoClass}) {
		t.Errorf("codes %v: bog, fen, fen and nothing", b.CodeRow(0))
	}
	spec.Classes = []Class{{Value: 4, Name: "fen"}}
	_, err := OpenLayer(spec, g)
	var unknown *UnknownClassError
	if !errors.As(err, &unknown) || unknown.FID != 2 || unknown.Value != "bog" || !strings.Contains(err.Error(), "hint: add it") {
		t.Errorf("got %v", err)
	}
}

func TestOpenFeaturesFilter(t *testing.T) {
	g := smallGrid(t, 4, 2)
	kinds := []string{"pond", "well", "pond"}
	path := featureFile(t, "EPSG:32617", []orb.Geometry{orb.Point{500005, 1000005}, orb.Point{500015, 1000005}, orb.Point{500025, 1000005}}, func(i int) string { return kinds[i] })
	s := openedSet(t, g, LayerSpec{Name: "water", Kind: Features, Source: path, Where: "n < 2", Burn: Burn{Kind: BurnCount}})
	if b := readWhole(t, s, "water"); !slices.Equal(b.ValueRow(1), []float32{1, 1, 0, 0}) {
		t.Errorf("counts %v", b.ValueRow(1))
	}
	b, err := s.Burn("water", Burn{Kind: BurnTouch, Field: "kind", Where: []string{"pond"}}, g.Window())
	if err != nil || !slices.Equal(b.ValueRow(1), []float32{1, 0, 0, 0}) {
		t.Errorf("ponds %v, %v", b.ValueRow(1), err)
	}
	if _, err := s.Burn("water", Burn{Field: "kinds", Where: []string{"pond"}}, g.Window()); err == nil || !strings.Contains(err.Error(), `did you mean "kind"`) {
		t.Errorf("got %v", err)
	}
	layer, _ := s.Layer("water")
	if !slices.Equal(layer.Fields["kind"], []string{"pond", "well"}) {
		t.Errorf("fields %v", layer.Fields)
	}
}

// A long edge that is straight in degrees follows its own way in metres: every
// point of it lies within a twentieth of a cell of the moved line, or twice
// that, since only midpoints are looked at.
func TestOpenBendsLongEdges(t *testing.T) {
	grid := gridOver(t, parsed(t, "EPSG:32617"), 25, 400000, 900000, 700000, 1100000)
	transform, err := NewTransform(WGS84(), grid.CRS)
	if err != nil {
		t.Fatal(err)
	}
	defer transform.Close()
	a, b := orb.Point{-81.8, 8.3}, orb.Point{-79.3, 9.7}
	place := placer{transform: transform, cell: grid.Cell}
	moved, err := place.run([]orb.Point{a, b})
	if err != nil {
		t.Fatal(err)
	}
	back, _ := place.run([]orb.Point{b, a})
	slices.Reverse(back)
	if !slices.Equal(moved, back) || len(moved) < 10 {
		t.Fatalf("%d vertices one way and %d the other must be the same", len(moved), len(back))
	}
	const steps = 5000
	for i := range steps + 1 {
		f := float64(i) / steps
		xs, ys := []float64{a[0] + f*(b[0]-a[0])}, []float64{a[1] + f*(b[1]-a[1])}
		if err := transform.Points(xs, ys); err != nil {
			t.Fatal(err)
		}
		near := math.Inf(1)
		for k := 1; k < len(moved); k++ {
			near = min(near, distanceToSegment(orb.Point{xs[0], ys[0]}, moved[k-1], moved[k]))
		}
		if near > grid.Cell/10 {
			t.Fatalf("at %g the line strays by %g m", f, near)
		}
	}
}

func distanceToSegment(p, a, b orb.Point) float64 {
	dx, dy := b[0]-a[0], b[1]-a[1]
	f := min(max(((p[0]-a[0])*dx+(p[1]-a[1])*dy)/(dx*dx+dy*dy), 0), 1)
	return math.Hypot(p[0]-a[0]-f*dx, p[1]-a[1]-f*dy)
}

// Real files through real transforms: the same bytes in every window, from any
// number of goroutines.
func TestSetWindows(t *testing.T) {
	t.Parallel()
	r := alignSeed(t)
	g := gridOver(t, parsed(t, "EPSG:32619"), 1500, 660000, 1900000, 920000, 2130000)
	pr := meadowFeatures(r, 6, 6)
	path := featureFile(t, "EPSG:32617", pr, nil)
	s := openedSet(t, g, cover(Nearest), renamed(cover(Majority), "most"), LayerSpec{Name: "f", Kind: Features, Source: path, Burn: Burn{Kind: BurnShare, Width: 400}})
	all := g.Window().Grow(20)
	wholes := map[string]Block{}
	for _, name := range s.Names() {
		b, err := s.Read(name, all)
		if err != nil {
			t.Fatal(err)
		}
		wholes[name] = b
	}
	var windows []Window
	for range 30 {
		windows = append(windows, randomWindow(r, all))
	}
	var group sync.WaitGroup
	for part := range 3 {
		group.Go(func() {
			for i := part; i < len(windows); i += 3 {
				for name, whole := range wholes {
					b, err := s.Read(name, windows[i])
					if err != nil {
						t.Error(err)
						return
					}
					for k := range b.Window.Cells() {
						if col, row := b.Window.Col+k%b.Window.Cols, b.Window.Row+k/b.Window.Cols; !sameCell(b, whole, col, row) {
							t.Errorf("%s, window %+v: cell %d, %d differs", name, windows[i], col, row)
							return
						}
					}
				}
			}
		})
	}
	group.Wait()
}

func renamed(s LayerSpec, name string) LayerSpec {
	s.Name = name
	return s
}

// countingSource counts what it is asked for.
type countingSource struct{ reads, burns []Window }

func (c *countingSource) read(w Window, b Block) error {
	c.reads = append(c.reads, w)
	for k := range b.Values {
		b.Values[k] = float32((w.Row+k/w.Cols)*1000 + w.Col + k%w.Cols)
	}
	return nil
}

func (c *countingSource) burn(how Burn, w Window, b Block) error {
	c.burns = append(c.burns, w)
	return nil
}

func (c *countingSource) Close() error { return nil }

func TestSetBlockReadsOnce(t *testing.T) {
	source := &countingSource{}
	g := Grid{Cell: 10, Cols: 100, Rows: 100}
	s := NewSet(g, &Layer{Name: "q", Kind: Quantity, source: source})
	r := s.Block(map[string]float64{"q": 35}, Window{Col: 20, Row: 20, Cols: 8, Rows: 8})
	for _, w := range []Window{{20, 20, 8, 8}, {16, 16, 16, 16}, {22, 25, 1, 2}} {
		b, err := r.Read("q", w)
		if err != nil || b.Window != w || b.Value(w.Col, w.Bottom()-1) != float32((w.Bottom()-1)*1000+w.Col) {
			t.Fatalf("%+v: %v", w, err)
		}
	}
	if want := []Window{{16, 16, 16, 16}}; !slices.Equal(source.reads, want) {
		t.Errorf("read %v, want %v once", source.reads, want)
	}
	far := Window{Col: 0, Row: 0, Cols: 3, Rows: 3}
	if _, err := r.Read("q", far); err != nil || len(source.reads) != 2 || source.reads[1] != far {
		t.Errorf("a window beyond the reach is read for itself: %v", source.reads)
	}
	for range 2 {
		for _, how := range []Burn{{Kind: BurnTouch}, {Kind: BurnShare}, {Kind: BurnShare, Width: 2}, {Kind: BurnTouch, Field: "a", Where: []string{"b"}}} {
			if _, err := r.Burn("q", how, Window{Col: 20, Row: 20, Cols: 8, Rows: 8}); err != nil {
				t.Fatal(err)
			}
		}
	}
	if len(source.burns) != 4 {
		t.Errorf("burned %d times, want once each way", len(source.burns))
	}
}

func TestSetErrors(t *testing.T) {
	s := NewSet(Grid{Cell: 10}, &Layer{Name: "cover", Kind: Classes}, &Layer{Name: "roads", Kind: Features})
	if _, err := s.Layer("covr"); err == nil || !strings.Contains(err.Error(), `did you mean "cover"`) {
		t.Errorf("got %v", err)
	}
	if _, err := s.Read("zzz", Window{}); err == nil || !strings.Contains(err.Error(), "cover, roads") {
		t.Errorf("got %v", err)
	}
	if _, err := s.Read("cover", Window{}); err == nil {
		t.Error("a layer that was never opened was read")
	}
	g := smallGrid(t, 2, 2)
	open := openedSet(t, g, LayerSpec{Name: "q", Kind: Quantity, Source: esriGrid(t, g.CRS, 500000, 1000000, 10, "", "1 2", "3 4")})
	if _, err := open.Burn("q", Burn{Kind: BurnTouch}, g.Window()); err == nil || !strings.Contains(err.Error(), "only features") {
		t.Errorf("got %v", err)
	}
	open.Close()
	if _, err := open.Read("q", g.Window()); err == nil || !strings.Contains(err.Error(), "closed") {
		t.Errorf("got %v", err)
	}
}

// BenchmarkSetRead reads a block across projections, file and all.
func BenchmarkSetRead(b *testing.B) {
	g := gridOver(b, parsed(b, "EPSG:32619"), 300, 660000, 1900000, 920000, 2130000)
	s := openedSet(b, g, cover(Nearest))
	w := Window{Col: 100, Row: 100, Cols: 512, Rows: 512}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := s.Read("cover", w); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N*w.Cells()), "ns/cell")
}
