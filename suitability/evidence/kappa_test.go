package evidence

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"
)

func mustKappa(t *testing.T, table [][]int64) KappaResult {
	t.Helper()
	k, err := Kappa(table)
	if err != nil {
		t.Fatal(err)
	}
	return k
}

// Fleiss, Levin and Paik (2003), table 18.1 (from memory; printed .68 and z 8.90
// by rounding), recomputed with statsmodels.
func TestKappaFleiss(t *testing.T) {
	k := mustKappa(t, [][]int64{{75, 1, 4}, {5, 4, 1}, {0, 0, 10}})
	near(t, "observed", k.Observed, .89, 1e-12)
	near(t, "expected", k.Expected, .66, 1e-12)
	near(t, "kappa", k.Kappa, .6764705882, 1e-10)
	near(t, "SE", k.SE, .0877, 5e-5)
	near(t, "SE under chance", k.NullSE, .0762, 5e-5)
	z, ok := k.Z()
	if !ok {
		t.Error("no z")
	}
	near(t, "z", z, 8.8791, 5e-5)
}

// Two by two, by hand: .7 observed, .5 by chance.
func TestKappaTwoByTwo(t *testing.T) {
	k := mustKappa(t, [][]int64{{20, 5}, {10, 15}})
	near(t, "kappa", k.Kappa, .4, 1e-12)
}

// The standard error is that of the delta method over a multinomial table, whose
// slopes are taken by small steps here (seed printed).
func TestKappaByTheDeltaMethod(t *testing.T) {
	seed := rand.Uint64()
	t.Logf("seed %d", seed)
	r := rand.New(rand.NewPCG(seed, 14))
	for range 20 {
		table := make([][]int64, 2+r.IntN(4))
		for i := range table {
			for j := range table {
				n := r.Int64N(30)
				if i == j {
					n += 20
				}
				table[i] = append(table[i], n)
			}
		}
		k := mustKappa(t, table)
		near(t, "SE", k.SE, deltaSE(table, k.N), 1e-6)
	}
}

func deltaSE(table [][]int64, n int64) float64 {
	const step = 1e-6
	kappa := func(moved, by int, d float64) float64 {
		rows, columns := make([]float64, len(table)), make([]float64, len(table))
		agree, sum := 0., 1+d
		for i := range table {
			for j, count := range table[i] {
				p := float64(count) / float64(n)
				if i == moved && j == by {
					p += d
				}
				rows[i], columns[j] = rows[i]+p/sum, columns[j]+p/sum
				if i == j {
					agree += p / sum
				}
			}
		}
		chance := 0.
		for i := range rows {
			chance += rows[i] * columns[i]
		}
		return (agree - chance) / (1 - chance)
	}
	var mean, squares float64
	for i := range table {
		for j, count := range table[i] {
			slope := (kappa(i, j, step) - kappa(i, j, -step)) / (2 * step)
			p := float64(count) / float64(n)
			mean, squares = mean+p*slope, squares+p*slope*slope
		}
	}
	return math.Sqrt((squares - mean*mean) / float64(n))
}

func TestKappaLaws(t *testing.T) {
	if k := mustKappa(t, [][]int64{{30, 0}, {0, 12}}); k.Kappa != 1 || k.SE != 0 {
		t.Errorf("full agreement: %+v", k)
	}
	a := mustKappa(t, [][]int64{{7, 2, 9}, {1, 8, 3}, {4, 6, 5}})
	b := mustKappa(t, [][]int64{{7, 1, 4}, {2, 8, 6}, {9, 3, 5}})
	near(t, "judges swapped", b.Kappa, a.Kappa, 1e-14)
	near(t, "judges swapped, SE", b.SE, a.SE, 1e-14)
	for _, table := range [][][]int64{{{9, 0}, {0, 0}}, {{0, 0}, {0, 0}}, {}} {
		if _, err := Kappa(table); !errors.Is(err, ErrUndefined) {
			t.Errorf("%v: %v", table, err)
		}
	}
	for _, table := range [][][]int64{{{1, 2}, {3}}, {{1, -2}, {3, 4}}} {
		if _, err := Kappa(table); err == nil || errors.Is(err, ErrUndefined) {
			t.Errorf("%v: %v", table, err)
		}
	}
}
