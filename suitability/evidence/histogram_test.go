package evidence

import (
	"math"
	"math/rand/v2"
	"reflect"
	"testing"

	"tussock/suitability"
)

// surface is a made landscape of float32 or of bytes, with cells that are not
// known, and the records on it.
func floatSurface(r *rand.Rand, cells, records int) (surface []float32, known, presence []float64) {
	for range cells {
		v := float32(math.Sqrt(r.Float64()) * r.Float64())
		switch r.IntN(20) {
		case 0:
			v = float32(math.NaN())
		case 1, 2:
			v = float32(r.IntN(11)) / 10 // on the edges of windows
		}
		surface = append(surface, v)
		if v == v {
			known = append(known, float64(v))
		}
	}
	for len(presence) < records {
		if v := known[r.IntN(len(known))]; r.Float64() < v {
			presence = append(presence, v)
		}
	}
	return surface, known, presence
}

// sameFigures holds a histogram against the functions that sort every value.
func sameFigures(t *testing.T, seed uint64, h *Histogram, presence, cells []float64, domains ...Domain) {
	t.Helper()
	compare := func(what string, got, want any, errGot, errWant error) {
		t.Helper()
		if !reflect.DeepEqual(got, want) || errGot != nil || errWant != nil {
			t.Fatalf("seed %d, %s: %+v, %v\nnot %+v, %v", seed, what, got, errGot, want, errWant)
		}
	}
	auc, err := AUC(presence, cells)
	got, errGot := h.AUC()
	near(t, "AUC", got.Value, auc.Value, 1e-14) // the same sum, but over more terms
	near(t, "SE of DeLong", got.DeLongSE, auc.DeLongSE, 1e-13)
	near(t, "variance of Hanley and McNeil", square(got.HanleySE), square(auc.HanleySE), 1e-12)
	compare("numbers", [2]int64{got.Presences, got.Background}, [2]int64{auc.Presences, auc.Background}, errGot, err)
	for _, at := range [][]float64{nil, {.2, .4, .6, .8}} {
		rows, err := AreaThresholds(presence, cells, at...)
		rowsGot, errGot := h.Thresholds(at...)
		compare("thresholds", rowsGot, rows, errGot, err)
	}
	for _, d := range domains {
		for _, o := range []BoyceOptions{{Domain: d}, {Domain: d, Collapse: true}} {
			b, err := Boyce(presence, cells, o)
			bGot, errGot := h.Boyce(o)
			compare("Boyce", bGot, b, errGot, err)
			b, err = BoyceSmooth(presence, cells, o)
			bGot, errGot = h.BoyceSmooth(o)
			compare("smooth Boyce", bGot, b, errGot, err)
		}
	}
	lift, err := Lift(presence, cells)
	liftGot, errGot := h.Lift()
	if err != nil || errGot != nil {
		t.Fatal(err, errGot)
	}
	for i := range lift {
		near(t, "lift", liftGot[i].Records, lift[i].Records, 1e-12)
	}
}

func TestHistogramOfFloatsIsExact(t *testing.T) {
	seed := rand.Uint64()
	t.Logf("seed %d", seed)
	r := rand.New(rand.NewPCG(seed, 7))
	for range 6 {
		surface, cells, presence := floatSurface(r, 4000+r.IntN(4000), 15+r.IntN(200))
		o := BoyceOptions{Domain: Scale}
		h, err := NewHistogram(presence, o.Cuts(), []float64{.2, .4, .6, .8})
		if err != nil {
			t.Fatal(err)
		}
		half, _ := NewHistogram(presence, o.Cuts(), []float64{.2, .4, .6, .8})
		cut := r.IntN(len(surface))
		h.AddFloats(surface[:cut])
		half.AddFloats(surface[cut:])
		if err := h.Merge(half); err != nil {
			t.Fatal(err)
		}
		if h.Unknown() != int64(len(surface)-len(cells)) {
			t.Fatalf("%d unknown", h.Unknown())
		}
		sameFigures(t, seed, h, presence, cells, Scale)
	}
}

func TestHistogramOfBytesIsExact(t *testing.T) {
	seed := rand.Uint64()
	t.Logf("seed %d", seed)
	r := rand.New(rand.NewPCG(seed, 8))
	for range 6 {
		surface, _, floats := floatSurface(r, 4000+r.IntN(4000), 15+r.IntN(200))
		bytes, cells, presence := make([]uint8, len(surface)), []float64(nil), []float64(nil)
		for i, v := range surface {
			if bytes[i] = suitability.EncodeByte(float64(v)); bytes[i] != suitability.ByteNodata {
				cells = append(cells, suitability.DecodeByte(bytes[i]))
			}
		}
		records := make([]uint8, len(floats))
		for i, v := range floats {
			records[i] = suitability.EncodeByte(v)
			presence = append(presence, suitability.DecodeByte(records[i]))
		}
		h := NewByteHistogram(records)
		for block := bytes; len(block) > 0; {
			n := min(len(block), 1+r.IntN(1000))
			h.AddBytes(block[:n])
			block = block[n:]
		}
		sameFigures(t, seed, h, presence, cells, Scale, Observed)
	}
}

func TestHistogramRefuses(t *testing.T) {
	presence := evenly(20, same)
	h, err := NewHistogram(presence)
	if err != nil {
		t.Fatal(err)
	}
	h.AddFloats([]float32{.1, .2, .3})
	for what, ask := range map[string]func() error{
		"windows that it was not cut for": func() error { _, err := h.Boyce(BoyceOptions{Domain: Scale}); return err },
		"an observed range":               func() error { _, err := h.Boyce(BoyceOptions{}); return err },
		"a threshold between cuts":        func() error { _, err := h.Thresholds(.333); return err },
		"a smoothed index":                func() error { _, err := h.BoyceSmooth(BoyceOptions{Domain: Scale}); return err },
		"another's cells":                 func() error { o, _ := NewHistogram([]float64{1}); return h.Merge(o) },
		"no presence and no cut":          func() error { _, err := NewHistogram(nil); return err },
		"a NaN":                           func() error { _, err := NewHistogram([]float64{math.NaN()}); return err },
	} {
		if ask() == nil {
			t.Errorf("answers for %s", what)
		}
	}
	one, err := NewHistogram([]float64{.5})
	if err != nil {
		t.Fatal(err)
	}
	one.AddFloats([]float32{.4, .5, .6, float32(math.Inf(1)), float32(math.Inf(-1))})
	if r, err := one.AUC(); err != nil || r.Value != .5 || r.Background != 5 {
		t.Errorf("%+v, %v", r, err)
	}
}
