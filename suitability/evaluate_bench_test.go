package suitability

import (
	"fmt"
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

// Nanoseconds per cell and criterion are reported beside the time per row.
func BenchmarkRow(b *testing.B) {
	const cells = 8192
	for _, rule := range []Rule{{Kind: Arithmetic}, {Kind: Geometric}, {Kind: Minimum}, {Kind: Ordered, Weights: []float64{.5, .3, .2}}, {Kind: Power, Exponent: -2}} {
		for _, ratings := range []string{"tables", "curves"} {
			for _, missing := range []Missing{{}, {Kind: MissingLeaveOut}} {
				b.Run(fmt.Sprintf("%v/%s/%v", rule.Kind, ratings, missing), func(b *testing.B) {
					p := benchProfile(rule, ratings == "tables")
					p.Missing = missing
					e, err := NewEvaluator(p)
					if err != nil {
						b.Fatal(err)
					}
					rows := benchRows(e, cells)
					out, excluded := make([]float32, cells), make([]uint8, cells)
					b.SetBytes(cells * 4)
					b.ReportAllocs()
					for b.Loop() {
						if err := e.Row(rows, out, excluded); err != nil {
							b.Fatal(err)
						}
					}
					b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/cells/6, "ns/cell-criterion")
				})
			}
		}
	}
}

func benchRows(e *Evaluator, cells int) []Row {
	r := rand.New(rand.NewPCG(1, 2))
	rows := make([]Row, e.Inputs())
	for i, in := range e.inputs {
		rows[i] = Row{Codes: make([]uint8, cells)}
		if !in.codes {
			rows[i] = Row{Values: make([]float32, cells)}
		}
		for j := range cells {
			if in.codes {
				rows[i].Codes[j] = uint8(r.IntN(11))
			} else {
				rows[i].Values[j] = r.Float32() * 1000
			}
		}
	}
	return rows
}
