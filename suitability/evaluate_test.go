package suitability

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"tussock/layers"
)

// randomProfile draws anything that is valid.
func randomProfile(r *rand.Rand) *Profile {
	p := &Profile{ID: "random", Floor: []float64{0, .01, .3}[r.IntN(3)]}
	p.Missing = Missing{Kind: MissingKind(r.IntN(3)), Value: r.Float64()}
	measures := 0
	next := func(kind string) layers.Measure {
		if measures > 1 && r.IntN(4) == 0 { // a measure used twice
			return measured{key: fmt.Sprintf("%s %d", kind, r.IntN(measures))}
		}
		measures++
		return measured{key: fmt.Sprintf("%s %d", kind, measures-1)}
	}
	rated := func() (layers.Measure, Rating) {
		if r.IntN(2) == 0 {
			return next("codes"), randomTable(r)
		}
		return next("values"), randomCurve(r)
	}
	for i := range 1 + r.IntN(4) {
		q := Requisite{ID: fmt.Sprint(i), Weight: r.Float64() + .01}
		for j := range 1 + r.IntN(4) {
			m, rating := rated()
			q.Criteria = append(q.Criteria, Criterion{ID: fmt.Sprint(j), Weight: r.Float64() + .01, Measure: m, Rating: rating})
		}
		if r.IntN(5) == 0 {
			q.Criteria = append(q.Criteria, Criterion{ID: "idle", Measure: next("codes"), Rating: randomTable(r)})
		}
		p.Requisites = append(p.Requisites, q)
	}
	if r.IntN(5) == 0 && len(p.Requisites) > 1 {
		p.Requisites[0].Weight = 0
	}
	for i := range r.IntN(3) {
		m, rating := rated()
		p.Multipliers = append(p.Multipliers, Multiplier{ID: fmt.Sprint(i), Measure: m, Rating: rating})
	}
	if r.IntN(2) == 0 {
		limit := r.NormFloat64() * 100
		p.Exclusions = append(p.Exclusions,
			Exclusion{ID: "class", Measure: next("codes"), Classes: []uint8{0, 3}},
			Exclusion{ID: "limit", Measure: next("values"), Above: &limit})
	}
	p.Rule = Rule{Kind: RuleKind(r.IntN(5)), Exponent: r.NormFloat64() * 3}
	for range p.Requisites {
		p.Rule.Weights = append(p.Rule.Weights, r.Float64()+.01)
	}
	return p
}

func randomTable(r *rand.Rand) Table {
	t := Table{r.Float64()}
	for range r.IntN(12) {
		t = append(t, []float64{r.Float64(), 0, 1, math.NaN()}[r.IntN(4)])
	}
	return t
}

func randomCurve(r *rand.Rand) Curve {
	var c Curve
	x := r.NormFloat64() * 1000
	for range 2 + r.IntN(5) {
		c = append(c, Knot{x, []float64{r.Float64(), 0, 1}[r.IntN(3)]})
		x += math.Exp(r.NormFloat64()*3) + math.Abs(x)*1e-6
	}
	return c
}

// randomRows draws codes with gaps, and numbers around the knots of all curves.
func randomRows(r *rand.Rand, p *Profile, cells int) []Row {
	measures := p.Measures()
	rows := make([]Row, len(measures))
	for i, m := range measures {
		if strings.HasPrefix(m.Key(), "codes") {
			rows[i].Codes = make([]uint8, cells)
			for j := range rows[i].Codes {
				rows[i].Codes[j] = uint8(r.IntN(14))
				if r.IntN(20) == 0 {
					rows[i].Codes[j] = layers.NoClass
				}
			}
			continue
		}
		rows[i].Values = make([]float32, cells)
		for j := range rows[i].Values {
			rows[i].Values[j] = float32(r.NormFloat64() * 1200)
			switch r.IntN(30) {
			case 0:
				rows[i].Values[j] = unknown32
			case 1:
				rows[i].Values[j] = float32(math.Inf(1 - 2*r.IntN(2)))
			}
		}
	}
	return rows
}

// putKnots moves some numbers exactly onto knots and next to them.
func putKnots(r *rand.Rand, p *Profile, rows []Row) {
	index := map[string]int{}
	for i, m := range p.Measures() {
		index[m.Key()] = i
	}
	for _, q := range p.Requisites {
		for _, c := range q.Criteria {
			curve, ok := c.Rating.(Curve)
			if !ok {
				continue
			}
			values := rows[index[c.Measure.Key()]].Values
			for _, k := range curve {
				at := float32(k.X)
				values[r.IntN(len(values))] = at
				values[r.IntN(len(values))] = math.Nextafter32(at, at+1)
				values[r.IntN(len(values))] = math.Nextafter32(at, at-1)
			}
			a, b := curve[0].X, curve[len(curve)-1].X
			for range len(values) / 2 {
				values[r.IntN(len(values))] = float32(a + (b-a)*r.Float64())
			}
		}
	}
}

func valuesAt(rows []Row, cell int) []float64 {
	values := make([]float64, len(rows))
	for i, row := range rows {
		switch {
		case row.Values != nil:
			values[i] = float64(row.Values[cell])
		case row.Codes[cell] == layers.NoClass:
			values[i] = math.NaN()
		default:
			values[i] = float64(row.Codes[cell])
		}
	}
	return values
}

// The fast evaluator against the reference, brute force.
func TestEvaluatorAgainstExplain(t *testing.T) {
	t.Parallel()
	const seed, cells = 20260601, 300
	r := rand.New(rand.NewPCG(seed, 0))
	worst, assessed := 0.0, 0
	for n := range 600 {
		p := randomProfile(r)
		e, err := NewEvaluator(p)
		if err != nil {
			t.Fatalf("seed %d, profile %d: %v", seed, n, err)
		}
		rows := randomRows(r, p, cells)
		putKnots(r, p, rows)
		out, excluded := make([]float32, cells), make([]uint8, cells)
		if err := e.Row(rows, out, excluded); err != nil {
			t.Fatal(err)
		}
		for i := range out {
			x, err := p.Explain(valuesAt(rows, i))
			if err != nil {
				t.Fatal(err)
			}
			if (excluded[i] == 1) != x.Excluded || (out[i] == out[i]) != x.Assessed() {
				t.Fatalf("seed %d, profile %d (%v, %v), cell %d: S %g, excluded %d; reference %g, %v", seed, n, p.Rule, p.Missing, i, out[i], excluded[i], x.S, x.Excluded)
			}
			if x.Assessed() {
				assessed++
				worst = max(worst, math.Abs(float64(out[i])-x.S))
			}
			if worst > 1e-7 {
				t.Fatalf("seed %d, profile %d (%v, %v), cell %d: S %.10g, reference %.10g", seed, n, p.Rule, p.Missing, i, out[i], x.S)
			}
		}
	}
	t.Logf("seed %d: %d assessed cells, greatest difference %.3g", seed, assessed, worst)
}

// Where every rating is 1, so is S, exactly.
func TestPerfectPlaceIsExactlyOne(t *testing.T) {
	for kind := Geometric; kind <= Power; kind++ {
		p := heath()
		p.Rule = Rule{Kind: kind, Exponent: .3, Weights: []float64{.7, .3}}
		e, err := NewEvaluator(p)
		if err != nil {
			t.Fatal(err)
		}
		out := make([]float32, 1)
		rows := []Row{{Values: []float32{.5}}, {Codes: []uint8{0}}, {Values: []float32{10}}, {Values: []float32{0}}, {Values: []float32{80}}}
		if err := e.Row(rows, out, make([]uint8, 1)); err != nil || out[0] != 1 {
			t.Errorf("%v: %v, %v", kind, out[0], err)
		}
	}
}

// One cell must give the same bytes wherever it lies in a row.
func TestPlaceInTheRowDoesNotMatter(t *testing.T) {
	const seed, cells = 7, 3*chunkCells + 17
	r := rand.New(rand.NewPCG(seed, 0))
	for range 40 {
		p := randomProfile(r)
		e, err := NewEvaluator(p)
		if err != nil {
			t.Fatal(err)
		}
		rows := randomRows(r, p, cells)
		out, excluded := make([]float32, cells), make([]uint8, cells)
		if err := e.Row(rows, out, excluded); err != nil {
			t.Fatal(err)
		}
		from := r.IntN(cells)
		to := from + r.IntN(cells-from) + 1
		part := make([]Row, len(rows))
		for i, row := range rows {
			if row.Codes != nil {
				part[i].Codes = row.Codes[from:to]
			} else {
				part[i].Values = row.Values[from:to]
			}
		}
		again, excludedAgain := make([]float32, to-from), make([]uint8, to-from)
		if err := e.Clone().Row(part, again, excludedAgain); err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(floatBytes(out[from:to]), floatBytes(again)) || !bytes.Equal(excluded[from:to], excludedAgain) {
			t.Fatalf("seed %d: cells %d to %d differ when evaluated alone", seed, from, to)
		}
	}
}

func floatBytes(row []float32) []byte {
	raw, err := binary.Append(nil, binary.LittleEndian, row)
	if err != nil {
		panic(err)
	}
	return raw
}

func TestRowRefusesWhatDoesNotFit(t *testing.T) {
	e, err := NewEvaluator(heath())
	if err != nil {
		t.Fatal(err)
	}
	good := func() []Row {
		return []Row{{Values: []float32{.5}}, {Codes: []uint8{0}}, {Values: []float32{10}}, {Values: []float32{0}}, {Values: []float32{80}}}
	}
	short, swapped := good()[:3], good()
	swapped[1] = Row{Values: []float32{0}}
	for _, rows := range [][]Row{short, swapped} {
		if err := e.Row(rows, make([]float32, 1), make([]uint8, 1)); err == nil {
			t.Errorf("%v was taken", rows)
		}
	}
	if err := e.Row(good(), make([]float32, 2), make([]uint8, 2)); err == nil {
		t.Error("short rows were taken")
	}
	p := heath()
	p.Requisites[1].Criteria[0].Measure = measured{"soil", 0}
	if _, err := NewEvaluator(p); err == nil {
		t.Error("a measure was taken both for classes and for numbers")
	}
}

func TestTableLogarithms(t *testing.T) {
	const seed = 3
	r := rand.New(rand.NewPCG(seed, 0))
	log2 := func(x float64) float64 {
		one := []float64{0}
		addLogs(one, []float64{x}, 1)
		return one[0]
	}
	exp2 := func(x float64) float64 {
		one := []float64{x}
		raise(one)
		return one[0]
	}
	for range 200000 {
		x := math.Exp(-r.ExpFloat64() * 3)
		if d := math.Abs(log2(x) - math.Log2(x)); d > 1e-10 {
			t.Fatalf("log2(%g) is off by %g", x, d)
		}
		y := -r.ExpFloat64() * 20
		if d := math.Abs(exp2(y)/math.Exp2(y) - 1); d > 5e-10 {
			t.Fatalf("exp2(%g) is off by %g of its value", y, d)
		}
	}
	if log2(1) != 0 || exp2(0) != 1 || exp2(log2(0)) != 0 || exp2(-1e9) != 0 {
		t.Error("the ends are not exact")
	}
	if x := exp2(log2(math.NaN())); x == x {
		t.Error("unknown became known")
	}
}
