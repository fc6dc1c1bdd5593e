package main

import (
	"encoding/json"
	"fmt"
	"image/color"
	"image/png"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"

	"github.com/paulmach/orb"

	"tussock/layers"
	"tussock/suitability"
)

// TestPlotTiles looks up 200 places of the real plot in its tiles: the colour
// there is that of the class that an independent program's suitability has
// (testdata/bei/ref/suitability.tif, of which testdata/bei/README.md tells). A
// tile's address is computed here from the formulae of OGC 17-083r4, not by the
// program.
func TestPlotTiles(t *testing.T) {
	const seed, zoom, places = 11, 15, 200
	out := t.TempDir()
	build(t, plot, out)
	folder := filepath.Join(out, "staff", "tiles")
	matches, err := filepath.Glob(filepath.Join(folder, "beilschmiedia-class-*.legend.json"))
	if err != nil || len(matches) != 1 {
		t.Fatalf("legends %v, %v", matches, err)
	}
	colours := legendColours(t, matches[0])
	set := matches[0][:len(matches[0])-len(".legend.json")]
	reference := readPlot(t)

	toLonLat, err := layers.NewTransform(plotCRS(t), layers.WGS84())
	if err != nil {
		t.Fatal(err)
	}
	defer toLonLat.Close()
	random := rand.New(rand.NewPCG(seed, 0))
	for range places {
		// the outermost cells lie half outside the documented range
		col, row := 1+random.IntN(199), 1+random.IntN(99)
		xs, ys := []float64{624997.5 + (float64(col)+0.5)*5}, []float64{1011502.5 - (float64(row)+0.5)*5}
		if err := toLonLat.Points(xs, ys); err != nil {
			t.Fatal(err)
		}
		class := suitability.DefaultClasses().OfFloat32(reference[row*201+col])
		if got := pixelAt(t, set, zoom, orb.Point{xs[0], ys[0]}); got != colours[class] {
			t.Errorf("seed %d: cell %d, %d has class %d (%v) but its pixel is %v", seed, col, row, class, colours[class], got)
		}
	}
}

func plotCRS(t *testing.T) layers.CRS {
	t.Helper()
	crs, err := layers.ParseCRS("EPSG:32617")
	if err != nil {
		t.Fatal(err)
	}
	return crs
}

func readPlot(t *testing.T) []float32 {
	t.Helper()
	r, err := layers.OpenRaster("../../testdata/bei/ref/suitability.tif", 1)
	if err != nil {
		t.Fatal(err)
	}
	defer r.Close()
	cells := make([]float32, 201*101)
	if err := r.ReadFloat32(0, 0, 201, 101, cells); err != nil {
		t.Fatal(err)
	}
	return cells
}

// legendColours are the colours of the classes, from the lowest.
func legendColours(t *testing.T, path string) (colours [5]color.NRGBA) {
	t.Helper()
	raw, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	var legend struct {
		Classes []struct{ Key, Colour string }
	}
	if err := json.Unmarshal(raw, &legend); err != nil {
		t.Fatal(err)
	}
	for _, c := range legend.Classes {
		var n int
		fmt.Sscanf(c.Key, "class %d", &n)
		rgb := &colours[n-1]
		fmt.Sscanf(c.Colour, "#%02x%02x%02x", &rgb.R, &rgb.G, &rgb.B)
		rgb.A = 255
	}
	return colours
}

func pixelAt(t *testing.T, set string, zoom int, p orb.Point) color.NRGBA {
	t.Helper()
	n := math.Exp2(float64(zoom)) * 256
	sin := math.Sin(p[1] * math.Pi / 180)
	x := int((p[0] + 180) / 360 * n)
	y := int((0.5 - math.Log((1+sin)/(1-sin))/(4*math.Pi)) * n)
	f, err := os.Open(filepath.Join(set, fmt.Sprint(zoom), fmt.Sprint(x/256), fmt.Sprintf("%d.png", y/256)))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	picture, err := png.Decode(f)
	if err != nil {
		t.Fatal(err)
	}
	return color.NRGBAModel.Convert(picture.At(x%256, y%256)).(color.NRGBA)
}
