package evidence

import (
	"math"
	"math/big"
	"math/rand/v2"
	"testing"
)

// bruteBoyce counts thousandths in windows of whole numbers, from 9k to 9k + 100,
// and ranks fractions by comparing every pair.
func bruteBoyce(presence, cells []int, collapse bool) (index float64, used int) {
	within := func(values []int, k int) (n int64) {
		for _, v := range values {
			if v >= 9*k && v <= 9*k+100 {
				n++
			}
		}
		return n
	}
	var ratios []*big.Rat
	for k := range 101 {
		a := within(cells, k)
		if a == 0 {
			continue
		}
		f := big.NewRat(within(presence, k), a)
		if collapse && len(ratios) > 0 && f.Cmp(ratios[len(ratios)-1]) == 0 {
			continue
		}
		ratios = append(ratios, f)
	}
	n := float64(len(ratios))
	var xy, xx, yy float64
	for i, f := range ratios {
		rank := .5
		for _, g := range ratios {
			switch f.Cmp(g) {
			case 1:
				rank++
			case 0:
				rank += .5
			}
		}
		x, y := float64(i+1)-(n+1)/2, rank-(n+1)/2
		xy, xx, yy = xy+x*y, xx+x*x, yy+y*y
	}
	return xy / math.Sqrt(xx*yy), len(ratios)
}

func TestBoyceByCountingThousandths(t *testing.T) {
	seed := rand.Uint64()
	t.Logf("seed %d", seed)
	r := rand.New(rand.NewPCG(seed, 10))
	whole := func(n int, lean float64) (out []int) {
		for range n {
			out = append(out, int(1000*math.Pow(r.Float64(), lean)))
		}
		return out
	}
	float := func(values []int) (out []float64) {
		for _, v := range values {
			out = append(out, float64(v)/1000)
		}
		return out
	}
	for round := range 40 {
		p, a := whole(15+r.IntN(80), .7), whole(30+r.IntN(300), 1.5)
		collapse := round%2 == 1
		want, used := bruteBoyce(p, a, collapse)
		got, err := Boyce(float(p), float(a), BoyceOptions{Domain: Scale, Collapse: collapse})
		if err != nil || got.Used != used {
			t.Fatalf("%d windows, not %d; %v", got.Used, used, err)
		}
		near(t, "index", got.Index, want, 1e-12)
	}
}

// The same numbers stretched evenly move no window of the observed range.
func TestBoyceOfStretchedValues(t *testing.T) {
	seed := rand.Uint64()
	t.Logf("seed %d", seed)
	r := rand.New(rand.NewPCG(seed, 11))
	for range 20 {
		p, a := drawn(r, 60, .6, false), drawn(r, 300, 1, false)
		want, err := Boyce(p, a, BoyceOptions{})
		if err != nil {
			t.Fatal(err)
		}
		for _, values := range [][]float64{p, a} {
			for i := range values {
				values[i] = 64*values[i] - 32
			}
		}
		if got, err := Boyce(p, a, BoyceOptions{}); err != nil || got.Index != want.Index {
			t.Fatalf("%g, not %g; %v", got.Index, want.Index, err)
		}
	}
}

// Silverman's rule against R's bw.nrd0, which is 0.9 · min(sd, IQR/1.34) ·
// n^(−1/5): recomputed with R 4.2.
func TestSilvermanAgainstR(t *testing.T) {
	ty, err := tallyOf([]float64{2.1, 3.4, 1.9, 5.6, 4.4, 2.8, 3.3, 6.1}, []float64{0})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "bandwidth", ty.silverman(), .9176849906, 1e-10)
}

// Why few records are smoothed: the true ratio rises all the way, so that the
// true index is 1. With 20 records the windows fall short of it by more, on
// average over 60 simulations; with no relation both are about 0.
func TestSmoothedBoyceFewRecords(t *testing.T) {
	const seed, rounds, records = 20260602, 60, 20
	t.Logf("seed %d", seed)
	r := rand.New(rand.NewPCG(seed, 12))
	background := evenly(2000, same)
	mean := func(lean float64, curve func(p, b []float64, o BoyceOptions) (BoyceResult, error)) (sum, worst float64) {
		worst = 1
		for range rounds {
			got, err := curve(drawn(r, records, lean, false), background, BoyceOptions{Domain: Scale})
			if err != nil {
				t.Fatal(err)
			}
			sum += got.Index / rounds
			worst = min(worst, got.Index)
		}
		return sum, worst
	}
	windows, worstWindows := mean(.5, Boyce)
	smooth, worstSmooth := mean(.5, BoyceSmooth)
	nothing, _ := mean(1, BoyceSmooth)
	t.Logf("rising: windows mean %.3f, worst %.3f; smoothed mean %.3f, worst %.3f; no relation: smoothed mean %.3f", windows, worstWindows, smooth, worstSmooth, nothing)
	if !(smooth > windows && smooth > .9 && math.Abs(nothing) < .35) {
		t.Error("smoothing does not help where records are few")
	}
}
