package suitability

import (
	"errors"
	"fmt"
	"os"
	"testing"

	"tussock/layers"
)

// benchMeasures are ten measures that twelve species share between them, each
// with its ratings.
func benchMeasures() ([]layers.Measure, []Rating) {
	rising := Curve{{0, 0.1}, {0.6, 1}}
	return []layers.Measure{
			layers.Share{Layer: "cover", Radius: 120, Weights: map[string]float64{"heath": 1, "wood": 0.3}},
			layers.Share{Layer: "cover", Radius: 300, Weights: map[string]float64{"wood": 1}},
			layers.Distance{Layer: "cover", Classes: []string{"water"}, Limit: 500},
			layers.Distance{Layer: "cover", Classes: []string{"town"}, Limit: 300},
			layers.Value{Layer: "cover"},
			layers.Value{Layer: "elev"},
			layers.Mean{Layer: "elev", Radius: 80},
			layers.Edge{Layer: "cover", A: []string{"heath"}, B: []string{"wood"}, Radius: 150},
			layers.Share{Layer: "roads", Radius: 50},
			layers.RoadPressure{Layer: "roads", C: 2e-4, Effect: 250},
		}, []Rating{
			rising, rising, Curve{{0, 1}, {500, 0.2}}, Curve{{0, 0}, {300, 1}}, Table{1, 0.7, 0, 0.2},
			Curve{{0, 0}, {150, 1}, {300, 0.3}}, Curve{{0, 0}, {300, 1}}, Curve{{0, 0.2}, {40, 1}}, Curve{{0, 0.3}, {0.05, 1}}, PressureCurve(0.4),
		}
}

// benchJob maps twelve species of six criteria each on one block of 1024 cells
// a side.
func benchJob(b testing.TB, values Values) *Job {
	grid := landscapeGrid(b)
	grid.Cols, grid.Rows = 1024, 1024
	j := richJob(b, grid, values, layers.Staff)
	measures, ratings := benchMeasures()
	j.Subjects = nil
	for i := range 12 {
		p := &Profile{ID: fmt.Sprint("species", i), Rule: Rule{Kind: RuleKind(i % 2)}, Floor: DefaultFloor}
		for r := range 3 {
			q := Requisite{ID: fmt.Sprint(r), Weight: 1}
			for c := range 2 {
				k := (i + 2*r + c) % len(measures)
				q.Criteria = append(q.Criteria, Criterion{ID: fmt.Sprint(c), Weight: float64(1 + c), Measure: measures[k], Rating: ratings[k]})
			}
			p.Requisites = append(p.Requisites, q)
		}
		j.Subjects = append(j.Subjects, Subject{Profile: p, Range: everyStatus(b, grid, 400)})
	}
	return j
}

// BenchmarkRunBlock is one worker's work on one block, from sources to segments:
// everything, and what is left when the measures are there already.
func BenchmarkRunBlock(b *testing.B) {
	for values, name := range map[Values]string{Bytes: "bytes", Floats: "floats"} {
		b.Run(name, func(b *testing.B) { benchmarkBlock(b, benchJob(b, values), false) })
		b.Run(name+" measured", func(b *testing.B) { benchmarkBlock(b, benchJob(b, values), true) })
	}
}

func benchmarkBlock(b *testing.B, j *Job, measured bool) {
	p, err := j.Plan(1024, 1)
	if err != nil {
		b.Fatal(err)
	}
	var tasks []int
	for i, t := range p.Tasks {
		tasks = append(tasks, i)
		err = errors.Join(err, os.MkdirAll(p.workFolder(t.Key), 0o777))
	}
	if err != nil {
		b.Fatal(err)
	}
	at := p.block(0)
	ground := newGround(j, at.window, p.profiles(tasks))
	b.ReportAllocs()
	for b.Loop() {
		if measured {
			for _, k := range ground.measured {
				k.users = 0 // nothing is let go of
			}
		} else {
			ground = newGround(j, at.window, p.profiles(tasks))
		}
		if err := p.runSpecies(at, ground, 1, tasks); err != nil {
			b.Fatal(err)
		}
	}
	cells := float64(at.window.Cells() * len(tasks))
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/cells, "ns/cell-species")
}
