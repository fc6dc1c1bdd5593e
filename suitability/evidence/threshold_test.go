package evidence

import (
	"errors"
	"math/rand/v2"
	"testing"
)

func figure(t *testing.T, what string, f func() (float64, bool), want, tolerance float64) {
	t.Helper()
	got, ok := f()
	if !ok {
		t.Errorf("%s is undefined", what)
	}
	near(t, what, got, want, tolerance)
}

// Finley's tornado forecasts of 1884, in Murphy (1996), Weather and Forecasting
// 11:3-20 (counts from memory; the published scores .523, .355 and .228 agree).
// "Always no" is right more often than the forecasts.
func TestFinley1884(t *testing.T) {
	c := Confusion{Hits: 28, FalseAlarms: 72, Misses: 23, CorrectNegatives: 2680}
	figure(t, "accuracy", c.Accuracy, .9661077417, 1e-10)
	figure(t, "sensitivity", c.Sensitivity, .5490196, 1e-7)
	figure(t, "specificity", c.Specificity, .9738372, 1e-7)
	figure(t, "TSS", c.TSS, .5228568171, 1e-10)
	figure(t, "kappa", c.Kappa, .3553248615, 1e-10)
	figure(t, "CSI", c.CSI, .2276422764, 1e-10)
	never := Confusion{Misses: 51, CorrectNegatives: 2752}
	figure(t, "accuracy of always no", never.Accuracy, .9818052, 1e-7)
	figure(t, "TSS of always no", never.TSS, 0, 0)
}

// The point of Allouche, Tsoar and Kadmon (2006), Journal of Applied Ecology
// 43:1223-1232: at one sensitivity and specificity TSS stays and kappa moves with
// prevalence. Values recomputed.
func TestTSSDoesNotDependOnPrevalence(t *testing.T) {
	for per100, want := range map[int64]float64{5: .387755, 20: .651163, 50: .7, 80: .554455, 95: .254302} {
		finds, blanks := per100*10, (100-per100)*10
		c := Confusion{Hits: finds * 8 / 10, Misses: finds * 2 / 10, FalseAlarms: blanks / 10, CorrectNegatives: blanks * 9 / 10}
		figure(t, "TSS", c.TSS, .7, 1e-12)
		figure(t, "kappa", c.Kappa, want, 5e-7)
	}
	c := Confusion{Hits: 60, FalseAlarms: 10, Misses: 20, CorrectNegatives: 110}
	figure(t, "accuracy", c.Accuracy, .85, 1e-12)
	figure(t, "sensitivity", c.Sensitivity, .75, 1e-12)
	figure(t, "specificity", c.Specificity, .9166667, 1e-7)
	figure(t, "kappa", c.Kappa, .6808510638, 1e-10)
	figure(t, "TSS", c.TSS, .6666667, 1e-7)
}

func TestConfusionOfNothing(t *testing.T) {
	var none Confusion
	for what, f := range map[string]func() (float64, bool){
		"accuracy": none.Accuracy, "sensitivity": none.Sensitivity, "specificity": none.Specificity,
		"TSS": none.TSS, "kappa": none.Kappa, "CSI": none.CSI,
	} {
		if v, ok := f(); ok {
			t.Errorf("%s of nothing is %g", what, v)
		}
	}
	if _, ok := (Confusion{Hits: 3, Misses: 1}).TSS(); ok {
		t.Error("a TSS without blanks")
	}
	if _, err := Thresholds([]float64{1}, nil); !errors.Is(err, ErrUndefined) {
		t.Error(err)
	}
}

// Every row by counting, and the greatest TSS among all thresholds that there
// are.
func TestThresholdsByCounting(t *testing.T) {
	seed := rand.Uint64()
	t.Logf("seed %d", seed)
	r := rand.New(rand.NewPCG(seed, 3))
	for round := range 40 {
		p, a := drawn(r, 1+r.IntN(30), .5, round%2 == 0), drawn(r, 1+r.IntN(60), 1, round%2 == 0)
		rows, err := Thresholds(p, a)
		if err != nil {
			t.Fatal(err)
		}
		for _, row := range rows {
			if got := counted(p, a, row.Threshold); got != row.Table {
				t.Fatalf("at %g: %+v, not %+v", row.Threshold, row.Table, got)
			}
		}
		best, _ := MaxTSS(rows)
		for _, v := range append(p, a...) {
			if tss, _ := counted(p, a, v).TSS(); tss > best.TSS+1e-12 {
				t.Fatalf("TSS %g at %g beats %g at %g", tss, v, best.TSS, best.Threshold)
			}
		}
		areas, err := AreaThresholds(p, a)
		gain, ok := MaxGain(areas)
		if err != nil || !ok || gain.Threshold != best.Threshold {
			t.Fatalf("%+v, %v", gain, err)
		}
		near(t, "gain", gain.Gain, best.TSS, 1e-12)
	}
}

func counted(presence, absence []float64, threshold float64) (c Confusion) {
	for _, v := range presence {
		if v >= threshold {
			c.Hits++
		} else {
			c.Misses++
		}
	}
	for _, v := range absence {
		if v >= threshold {
			c.FalseAlarms++
		} else {
			c.CorrectNegatives++
		}
	}
	return c
}

// No more than the share asked for lies below, and with the next value more would.
func TestOmissionThreshold(t *testing.T) {
	seed := rand.Uint64()
	t.Logf("seed %d", seed)
	r := rand.New(rand.NewPCG(seed, 4))
	for round := range 60 {
		p := drawn(r, 1+r.IntN(50), 1, round%2 == 0)
		at, err := OmissionThreshold(p, .1)
		if err != nil {
			t.Fatal(err)
		}
		if c := counted(p, nil, at); 10*c.Misses > int64(len(p)) {
			t.Fatalf("%d of %d lie below %g", c.Misses, len(p), at)
		}
		for _, v := range p {
			if c := counted(p, nil, v); v > at && 10*c.Misses <= int64(len(p)) {
				t.Fatalf("%g would do, not only %g", v, at)
			}
		}
	}
	if _, err := OmissionThreshold(nil, .1); !errors.Is(err, ErrUndefined) {
		t.Error(err)
	}
}
