package suitability

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
)

// benchProfile has six criteria in three requisites.
func benchProfile(rule Rule, tables bool) *Profile {
	p := &Profile{ID: "bench", Rule: rule, Floor: DefaultFloor}
	for g := range 3 {
		q := Requisite{ID: fmt.Sprint(g), Weight: 1}
		for i := range 2 {
			c := Criterion{ID: fmt.Sprint(i), Weight: 1, Measure: measured{key: fmt.Sprintf("%d %d", g, i)}}
			if c.Rating = (Curve{{0, 0}, {200, .4}, {500, 1}, {900, .1}}); tables {
				c.Rating = Table{0, .1, .2, .3, .4, .5, .6, .7, .8, .9, 1}
			}
			q.Criteria = append(q.Criteria, c)
		}
		p.Requisites = append(p.Requisites, q)
	}
	return p
}

// Nanoseconds per cell and criterion are reported beside the time per row, for
// measures that change slowly along a row, as they do on maps, and for noise.
func BenchmarkRow(b *testing.B) {
	for _, rule := range []Rule{{Kind: Arithmetic}, {Kind: Geometric}, {Kind: Minimum}, {Kind: Ordered, Weights: []float64{.5, .3, .2}}, {Kind: Power, Exponent: -2}} {
		for _, missing := range []Missing{{}, {Kind: MissingLeaveOut}} {
			for _, data := range []string{"classes", "numbers", "noise"} {
				b.Run(fmt.Sprintf("%v/%v/%s", rule.Kind, missing, data), func(b *testing.B) {
					p := benchProfile(rule, data == "classes")
					p.Missing = missing
					benchmarkRow(b, p, data == "noise")
				})
			}
		}
	}
}

func benchmarkRow(b *testing.B, p *Profile, noise bool) {
	const cells = 8192
	e, err := NewEvaluator(p)
	if err != nil {
		b.Fatal(err)
	}
	rows := benchRows(e, cells, noise)
	out, excluded := make([]float32, cells), make([]uint8, cells)
	b.ReportAllocs()
	for b.Loop() {
		if err := e.Row(rows, out, excluded); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/cells/6, "ns/cell-criterion")
}

func benchRows(e *Evaluator, cells int, noise bool) []Row {
	r := rand.New(rand.NewPCG(1, 2))
	rows := make([]Row, len(e.inputs))
	for i, in := range e.inputs {
		rows[i] = Row{Codes: make([]uint8, cells)}
		if !in.codes {
			rows[i] = Row{Values: make([]float32, cells)}
		}
		for j := range cells {
			switch {
			case in.codes:
				rows[i].Codes[j] = uint8(r.IntN(11))
			case noise:
				rows[i].Values[j] = r.Float32() * 1000
			default:
				rows[i].Values[j] = float32(500 + 520*math.Sin(float64(j)/90+float64(i)) + r.NormFloat64()*3)
			}
		}
	}
	return rows
}
