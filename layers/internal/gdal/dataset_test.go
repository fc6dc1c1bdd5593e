package gdal

import (
	"encoding/binary"
	"errors"
	"math"
	"os"
	"path/filepath"
	"testing"
)

func TestClosedHandles(t *testing.T) {
	path := filepath.Join(t.TempDir(), "a.tif")
	noise(t, path)
	d, _, err := Open(path, Raster)
	if err != nil {
		t.Fatal(err)
	}
	if err := d.Close(); err != nil {
		t.Fatal(err)
	}
	_, _, infoErr := d.Info(1)
	_, layersErr := d.Layers()
	_, _, layerErr := d.Layer("x")
	_, _, _, nextErr := d.Next()
	_, metadataErr := d.Metadata("")
	for what, err := range map[string]error{
		"Close": d.Close(), "Info": infoErr, "Layers": layersErr, "Layer": layerErr, "Next": nextErr, "Metadata": metadataErr,
		"Query": d.Query("", nil), "Read": Read(d, 1, Window{0, 0, 1, 1}, make([]uint8, 1)),
		"ReadMask": d.ReadMask(1, Window{0, 0, 1, 1}, make([]uint8, 1)), "Write": Write(d, Window{0, 0, 1, 1}, make([]uint8, 1)),
	} {
		if !errors.Is(err, ErrClosed) {
			t.Errorf("%s after Close: %v", what, err)
		}
	}
	transformer, err := NewTransformer("EPSG:4326", "EPSG:3857")
	if err != nil {
		t.Fatal(err)
	}
	if err := transformer.Close(); err != nil {
		t.Fatal(err)
	}
	if err := transformer.Close(); !errors.Is(err, ErrClosed) {
		t.Errorf("a second Close of a transformer: %v", err)
	}
	if err := transformer.Points([]float64{0}, []float64{0}, make([]uint8, 1)); !errors.Is(err, ErrClosed) {
		t.Errorf("Points after Close: %v", err)
	}
}

// C trusts what it is given: windows and buffers are held against each other.
func TestBuffersThatDoNotFit(t *testing.T) {
	path := filepath.Join(t.TempDir(), "a.tif")
	noise(t, path)
	d, _, err := Open(path, Raster)
	if err != nil {
		t.Fatal(err)
	}
	defer d.Close()
	for _, w := range []Window{{0, 0, 5, 5}, {0, 0, 0, 5}, {0, 0, 5, -5}, {-1, 0, 2, 2}, {0, 0, 1 << 40, 1 << 40}} {
		if err := Read(d, 1, w, make([]uint8, 24)); err == nil {
			t.Errorf("%+v was read into 24 cells", w)
		}
	}
	if err := Read(d, 1, Window{noiseCols - 1, 0, 2, 2}, make([]uint8, 4)); err == nil {
		t.Error("a window beyond the raster was read")
	}
	if err := Read(d, 2, Window{0, 0, 2, 2}, make([]uint8, 4)); err == nil {
		t.Error("a band that does not exist was read")
	}
}

// A disk that is full is found out about when GDAL writes its cache, in a call
// that returns nothing: only the collector sees the failure.
func TestFailureAtClose(t *testing.T) {
	if _, err := os.Stat("/dev/full"); err != nil {
		t.Skip("no /dev/full here")
	}
	link := filepath.Join(t.TempDir(), "full.tif")
	if err := os.Symlink("/dev/full", link); err != nil {
		t.Fatal(err)
	}
	d, err := Create(link, 64, 64, Byte, [6]float64{0, 1, 0, 0, 0, -1}, "")
	if err == nil {
		err = Write(d, Window{0, 0, 64, 64}, make([]uint8, 64*64))
		err = errors.Join(err, d.Close())
	}
	var e *Error
	if !errors.As(err, &e) || e.Path != link {
		t.Errorf("a full disk gave %v", err)
	}
}

// A local file that describes a service on the network is not followed.
func TestServicesAreLeftOut(t *testing.T) {
	path := filepath.Join(t.TempDir(), "map.tif")
	service := `<GDAL_WMS><Service name="TMS"><ServerUrl>http://127.0.0.1:9/${z}/${x}/${y}</ServerUrl></Service>
<DataWindow><UpperLeftX>0</UpperLeftX><UpperLeftY>0</UpperLeftY><LowerRightX>1</LowerRightX><LowerRightY>1</LowerRightY>
<TileLevel>1</TileLevel><TileCountX>1</TileCountX><TileCountY>1</TileCountY></DataWindow></GDAL_WMS>`
	if err := os.WriteFile(path, []byte(service), 0o644); err != nil {
		t.Fatal(err)
	}
	if d, _, err := Open(path, Raster); err == nil {
		d.Close()
		t.Error("a description of a service was opened")
	}
}

// A square of side 2 widened by 1 gains four rectangles and, of n segments a
// quarter, a regular polygon of 4n corners: n·2·sin(π/2n).
func TestBuffer(t *testing.T) {
	square := polygon([][2]float64{{0, 0}, {2, 0}, {2, 2}, {0, 2}, {0, 0}})
	for _, segments := range []int{1, 2, 8, 32} {
		wide, err := Buffer(square, 1, segments)
		if err != nil {
			t.Fatal(err)
		}
		want := 4 + 8 + 2*float64(segments)*math.Sin(math.Pi/2/float64(segments))
		if got := shoelace(wide); math.Abs(got-want) > 1e-9 {
			t.Errorf("%d segments: %.12f, want %.12f", segments, got, want)
		}
	}
}

// polygon is the WKB of one ring, and shoelace the area of one.
func polygon(ring [][2]float64) []byte {
	le := binary.LittleEndian
	raw := le.AppendUint32(le.AppendUint32(le.AppendUint32([]byte{1}, 3), 1), uint32(len(ring)))
	for _, p := range ring {
		raw = le.AppendUint64(le.AppendUint64(raw, math.Float64bits(p[0])), math.Float64bits(p[1]))
	}
	return raw
}

func shoelace(raw []byte) float64 {
	at := func(i int) float64 { return math.Float64frombits(binary.LittleEndian.Uint64(raw[13+8*i:])) }
	twice := 0.0
	for i := range int(binary.LittleEndian.Uint32(raw[9:])) - 1 {
		twice += at(2*i)*at(2*i+3) - at(2*i+2)*at(2*i+1)
	}
	return math.Abs(twice / 2)
}
