package layers

import (
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"os/exec"
	"testing"
)

// slowHalf halves a sample by the definition: for each new cell it lists the
// known cells below, whatever the edge.
func (s cogSample) slowHalf() cogSample {
	g := s.spec.Grid
	h := cogSample{spec: s.spec}
	h.spec.Grid.Cols, h.spec.Grid.Rows = (g.Cols+1)/2, (g.Rows+1)/2
	for row := range h.spec.Grid.Rows {
		for col := range h.spec.Grid.Cols {
			var known []float64
			for r := 2 * row; r < min(2*row+2, g.Rows); r++ {
				for c := 2 * col; c < min(2*col+2, g.Cols); c++ {
					if s.floats != nil && !math.IsNaN(float64(s.floats[r*g.Cols+c])) {
						known = append(known, float64(s.floats[r*g.Cols+c]))
					}
					if s.bytes != nil && s.bytes[r*g.Cols+c] != s.spec.Nodata {
						known = append(known, float64(s.bytes[r*g.Cols+c]))
					}
				}
			}
			if s.floats != nil {
				h.floats = append(h.floats, float32(slowMean(known)))
			} else {
				h.bytes = append(h.bytes, slowByte(known, s.spec))
			}
		}
	}
	return h
}

func slowMean(known []float64) float64 {
	sum := 0.0
	for _, v := range known {
		sum += v
	}
	return sum / float64(len(known)) // NaN of none
}

func slowByte(known []float64, spec CogSpec) uint8 {
	if len(known) == 0 {
		return spec.Nodata
	}
	if spec.Overviews == Average {
		return uint8(math.Floor(slowMean(known) + 0.5))
	}
	votes := map[float64]int{}
	most := 0
	for _, v := range known {
		votes[v]++
		most = max(most, votes[v])
	}
	for code := 0.0; ; code++ {
		if votes[code] == most {
			return uint8(code)
		}
	}
}

func TestReduceAgainstBruteForce(t *testing.T) {
	t.Parallel()
	rng := rand.New(rand.NewPCG(11, 1)) // seed 11, 1
	for range 200 {
		cols, rows := 1+rng.IntN(9), 1+rng.IntN(9)
		for _, s := range []cogSample{
			byteSample(t, rng, cols, rows, Average), byteSample(t, rng, cols, rows, Majority), floatSample(t, rng, cols, rows),
		} {
			got, want := s.halved().rawBytes(), s.slowHalf().rawBytes()
			if fmt.Sprint(got) != fmt.Sprint(want) {
				t.Fatalf("%d by %d of %v:\n%v\nwant %v", cols, rows, s.rawBytes(), got, want)
			}
		}
	}
}

func TestReduceByHand(t *testing.T) {
	const n = 255
	mean := []struct{ cells, want [4]uint8 }{
		{[4]uint8{0, 0, 0, 1}, [4]uint8{0}},    // 0.25
		{[4]uint8{0, 0, 1, 1}, [4]uint8{1}},    // 0.5 goes up
		{[4]uint8{7, n, n, n}, [4]uint8{7}},    // nodata is not a number
		{[4]uint8{0, 1, n, n}, [4]uint8{1}},    // 0.5
		{[4]uint8{n, n, n, n}, [4]uint8{n}},    // nothing known
		{[4]uint8{200, 0, 0, n}, [4]uint8{67}}, // 66.67
	}
	for _, m := range mean {
		var got [1]uint8
		ReduceAverage(got[:], m.cells[:], 2, 2, n)
		if got[0] != m.want[0] {
			t.Errorf("mean of %v is %d, want %d", m.cells, got[0], m.want[0])
		}
	}
	mode := []struct{ cells, want [4]uint8 }{
		{[4]uint8{3, 2, 2, 3}, [4]uint8{2}}, // a tie goes to the lower code
		{[4]uint8{9, 8, 7, 6}, [4]uint8{6}},
		{[4]uint8{n, n, n, 9}, [4]uint8{9}}, // nodata has no vote
		{[4]uint8{1, 5, 5, n}, [4]uint8{5}},
		{[4]uint8{n, n, n, n}, [4]uint8{n}},
	}
	for _, m := range mode {
		var got [1]uint8
		ReduceMode(got[:], m.cells[:], 2, 2, n)
		if got[0] != m.want[0] {
			t.Errorf("mode of %v is %d, want %d", m.cells, got[0], m.want[0])
		}
	}
}

// A mean may equal a nodata code that lies between known ones; it must not
// become unknown.
func TestReduceNeverInventsNodata(t *testing.T) {
	for nodata := range 256 {
		for a := range 256 {
			for _, b := range []int{0, 1, 2 * nodata, 255, 254} {
				if a == nodata || b == nodata || b > 255 {
					continue
				}
				var got [1]uint8
				cells := [4]uint8{uint8(a), uint8(b), uint8(a), uint8(nodata)}
				ReduceAverage(got[:], cells[:], 2, 2, uint8(nodata))
				if int(got[0]) == nodata {
					t.Fatalf("mean of %v is nodata", cells)
				}
			}
		}
	}
}

// GDAL's AVERAGE overviews of a raster with an even side use the same rule.
func TestReduceAgainstGDAL(t *testing.T) {
	t.Parallel()
	const script = `
import sys, json
try:
    from osgeo import gdal
    import numpy
except ImportError:
    sys.exit(77)
rng = numpy.random.default_rng(5)
a = rng.integers(0, 200, (128, 96)).astype(numpy.uint8)
a[rng.random(a.shape) < 0.3] = 255
d = gdal.GetDriverByName('MEM').Create('', 96, 128, 1, gdal.GDT_Byte)
d.GetRasterBand(1).SetNoDataValue(255)
d.GetRasterBand(1).WriteArray(a)
d.BuildOverviews('AVERAGE', [2])
print(json.dumps([a.ravel().tolist(), d.GetRasterBand(1).GetOverview(0).ReadAsArray().ravel().tolist()]))`
	out, err := exec.Command("/usr/bin/python3", "-c", script).Output()
	if exit, ok := err.(*exec.ExitError); ok && exit.ExitCode() == 77 {
		t.Skip("GDAL's Python binding is not installed")
	}
	var both [2][]int
	if err := json.Unmarshal(out, &both); err != nil {
		t.Fatal(err)
	}
	cells, got := make([]uint8, len(both[0])), make([]uint8, len(both[1]))
	for i, v := range both[0] {
		cells[i] = uint8(v)
	}
	ReduceAverage(got, cells, 96, 128, 255)
	for i, v := range both[1] {
		if int(got[i]) != v {
			t.Fatalf("cell %d is %d, GDAL has %d", i, got[i], v)
		}
	}
}

func BenchmarkReduce(b *testing.B) {
	cells, classes, _ := scene(1024)
	half := make([]uint8, 512*512)
	b.Run("average", func(b *testing.B) {
		b.SetBytes(int64(len(cells)))
		for b.Loop() {
			ReduceAverage(half, cells, 1024, 1024, 255)
		}
	})
	b.Run("mode", func(b *testing.B) {
		b.SetBytes(int64(len(cells)))
		for b.Loop() {
			ReduceMode(half, classes, 1024, 1024, 255)
		}
	})
}
