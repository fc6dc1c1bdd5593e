package evidence

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"testing"

	"github.com/paulmach/orb"

	"tussock/layers"
	"tussock/layers/records"
	"tussock/suitability"
)

var inf = math.Inf(1)

// Worked by hand from the formula of Elith, Kearney and Phillips 2010 (from
// memory), with 1, 2, 3, 4, 5 as reference.
func TestSimilarityByHand(t *testing.T) {
	r := newReference([]float64{3, 1, 5, math.NaN(), 2, 4})
	for p, want := range map[float64]float64{
		0: -25, 1: 0, 1.5: 40, 2: 40, 2.5: 80, 3: 80, 3.5: 80, // f = 0, 0, 20, 20, 40, 40, 60
		4: 80, 5: 40, 5.5: -12.5, 6: -25, // f = 60, 80, 100, 100
	} {
		if got, ok := r.similarity(p); !ok || !within(got, want, 1e-12) {
			t.Errorf("%g: %g, %v, want %g", p, got, ok, want)
		}
	}
	flat := newReference([]float64{2, 2, 2})
	if _, ok := flat.similarity(2); ok {
		t.Error("a constant layer judged its own value")
	}
	if s, ok := flat.similarity(2.1); !ok || !math.IsInf(s, -1) {
		t.Errorf("a constant layer gives %g to another value", s)
	}
	if _, ok := r.similarity(math.NaN()); ok {
		t.Error("an unknown value was judged")
	}
	if _, ok := newReference(nil).similarity(1); ok {
		t.Error("no reference judged")
	}
	s, variable, ok := mostUnlike([]reference{r, flat, r}, []float64{3, 2, 6})
	if s != -25 || variable != 2 || !ok {
		t.Errorf("most unlike %d with %g, %v", variable, s, ok)
	}
	if _, _, ok := mostUnlike([]reference{flat}, []float64{2}); ok {
		t.Error("nothing to compare, and judged")
	}
}

func TestSimilarityBytes(t *testing.T) {
	for s, want := range map[float64]uint8{0: 100, -.001: 99, -1: 99, -1.5: 98, .9: 100, 100: 200, -100: 0, -250: 0, math.Inf(-1): 0, 49.99: 149} {
		if got := similarityByte(s); got != want {
			t.Errorf("%g: byte %d, want %d", s, got, want)
		}
	}
}

const similarityScript = `
import json, sys
import numpy as np
q = json.load(open(sys.argv[1]))
ref, p = np.array(q["reference"]), np.array(q["places"])     # rows are places, columns variables
low, high = ref.min(axis=0), ref.max(axis=0)
f = 100.0 * (ref[None, :, :] < p[:, None, :]).mean(axis=1)
with np.errstate(divide="ignore", invalid="ignore"):
    s = np.select([f == 0, f <= 50, f < 100], [100*(p - low)/(high - low), 2*f, 2*(100 - f)], 100*(high - p)/(high - low))
flat = low == high
s[:, flat] = np.where(p[:, flat] == low[flat], np.inf, -np.inf)
print(json.dumps({"least": [None if np.isinf(v) else v for v in s.min(axis=1)], "which": s.argmin(axis=1).tolist(), "infinite": np.isneginf(s.min(axis=1)).tolist()}))
`

// Against the formula in numpy, in the same run.
func TestSimilarityAgainstNumpy(t *testing.T) {
	t.Parallel()
	const python, seed = "/usr/bin/python3", 13
	if err := exec.Command(python, "-c", "import numpy").Run(); err != nil {
		t.Skip("no numpy for Python here")
	}
	r := rand.New(rand.NewPCG(seed, 0))
	table := func(n int) [][]float64 {
		rows := make([][]float64, n)
		for i := range rows {
			rows[i] = []float64{r.NormFloat64(), float64(r.IntN(5)), r.Float64() * 100, 7, 3}
		}
		return rows
	}
	ref, places := table(23), table(400)
	for i := range places {
		if i%10 == 0 {
			places[i][3] = 8
		}
	}
	path := filepath.Join(t.TempDir(), "q.json")
	raw, err := json.Marshal(map[string]any{"reference": ref, "places": places})
	if err == nil {
		err = os.WriteFile(path, raw, 0o600)
	}
	if err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command(python, "-c", similarityScript, path).Output()
	if err != nil {
		t.Fatal(err)
	}
	var want struct {
		Least    []*float64
		Which    []int
		Infinite []bool
	}
	if err := json.Unmarshal(out, &want); err != nil {
		t.Fatal(err)
	}
	var refs []reference
	for v := range 5 {
		var column []float64
		for _, row := range ref {
			column = append(column, row[v])
		}
		refs = append(refs, newReference(column))
	}
	for i, p := range places {
		s, variable, ok := mostUnlike(refs, p)
		// Equal similarities by different ways of rounding are no difference.
		other, _ := refs[want.Which[i]].similarity(p[want.Which[i]])
		if !ok || variable != want.Which[i] && !within(other, s, 1e-9) || math.IsInf(s, -1) != want.Infinite[i] || !want.Infinite[i] && !within(s, *want.Least[i], 1e-9) {
			t.Fatalf("seed %d, place %d: %g by %d, numpy has %v by %d", seed, i, s, variable, want.Least[i], want.Which[i])
		}
	}
}

// treePlaces are some accepted places within the plot, and two rough ones.
func treePlaces(g layers.Grid, n int) []AcceptedPlace {
	r := rand.New(rand.NewPCG(2, 0))
	var list []AcceptedPlace
	for range n {
		list = append(list, AcceptedPlace{At: orb.Point{g.West + 300 + r.Float64()*300, g.North - r.Float64()*300}, UncertaintyM: 5, Fine: true})
	}
	return append(list, AcceptedPlace{At: orb.Point{g.West + 900, g.North - 450}, UncertaintyM: 60}, AcceptedPlace{At: orb.Point{g.West - 500, g.North}, Fine: true})
}

// The three flags against brute force, cell by cell, from the layers themselves;
// and however the grid is cut.
func TestFlagsAgainstBruteForce(t *testing.T) {
	j := plotJob(t, layers.Staff, layers.HighSensitivity)
	places := treePlaces(j.Grid, 12)
	plan := planOf(t, j, 512)
	q, err := NewNovelty(plan, "tree", places, NoveltyLook{})
	if err != nil {
		t.Fatal(err)
	}
	e := publishCompanion(t, q, 2)
	flags, similar, unlike := readRaster(t, j, e.Files["flags"]), readRaster(t, j, e.Files["similarity"]), readRaster(t, j, e.Files["unlike"])
	s, _, _ := plan.Planned("tree")
	blocks, err := plan.Measured(s, j.Grid.Window())
	if err != nil {
		t.Fatal(err)
	}
	elev, grad := blocks[0], blocks[1]
	var refElev, refGrad []float64
	for _, p := range places[:12] {
		col, row := j.Grid.CellAt(p.At)
		refElev, refGrad = append(refElev, float64(elev.Value(col, row))), append(refGrad, float64(grad.Value(col, row)))
	}
	counts := map[uint8]int{}
	for row := range j.Grid.Rows {
		for col := range j.Grid.Cols {
			at := row*j.Grid.Cols + col
			h, g := float64(elev.Value(col, row)), float64(grad.Value(col, row))
			c := j.Grid.Centre(col, row)
			if s.Range.At(c) != suitability.Documented || h < 121 {
				if flags[at] != suitability.ByteNodata {
					t.Fatalf("column %d, row %d is not shown, and flagged %d", col, row, flags[at])
				}
				continue
			}
			want := uint8(0)
			if h < 130 || h > 156 || g < 0 || g > .25 {
				want |= flagKnots
			}
			a, b := slowSimilarity(refElev, h), slowSimilarity(refGrad, g)
			if min(a, b) < 0 {
				want |= flagUnlike
			}
			if !slices.ContainsFunc(places, func(p AcceptedPlace) bool {
				return math.Sqrt((c[0]-p.At[0])*(c[0]-p.At[0])+(c[1]-p.At[1])*(c[1]-p.At[1])) <= 90+p.UncertaintyM
			}) {
				want |= flagFar
			}
			variable := uint8(0)
			if b < a {
				variable = 1
			}
			if flags[at] != want || unlike[at] != variable || !within(float64(similar[at])-100, max(min(a, b), -100)-.5, .5+1e-9) {
				t.Fatalf("column %d, row %d: flags %03b, want %03b; similarity %d by %d, want %g, %g", col, row, flags[at], want, similar[at], unlike[at], a, b)
			}
			counts[want]++
		}
	}
	t.Logf("cells by flags: %v", counts)
	if len(counts) < 5 {
		t.Error("too few combinations to be a test")
	}
	checkNoveltyFacts(t, e, counts)
	other := plotJob(t, layers.Staff, layers.HighSensitivity)
	q, err = NewNovelty(planOf(t, other, 1024), "tree", places, NoveltyLook{})
	if err != nil {
		t.Fatal(err)
	}
	publishCompanion(t, q, 1)
	sameFiles(t, allFiles(t, other.Folder), allFiles(t, j.Folder))
}

func checkNoveltyFacts(t *testing.T, e *suitability.CompanionEntry, counts map[uint8]int) {
	t.Helper()
	var f NoveltyFacts
	if err := json.Unmarshal(e.Facts, &f); err != nil {
		t.Fatal(err)
	}
	var sum [3]float64
	total := 0.0
	for bits, n := range counts {
		total += float64(n)
		for i := range sum {
			if bits&(1<<i) != 0 {
				sum[i] += float64(n)
			}
		}
	}
	if float64(f.Cells) != total || !within(*f.Knots.Share, sum[0]/total, 1e-12) || !within(*f.Similarity.Share, sum[1]/total, 1e-12) || !within(*f.Distance.Share, sum[2]/total, 1e-12) {
		t.Errorf("facts %s, counted %v of %g", e.Facts, sum, total)
	}
	if f.Similarity.Cells != 12 || f.Distance.Records != 14 || f.Distance.FarM != 90 {
		t.Errorf("facts %s", e.Facts)
	}
}

// slowSimilarity is the formula, read out loud.
func slowSimilarity(ref []float64, p float64) float64 {
	smaller := 0.0
	for _, v := range ref {
		if v < p {
			smaller++
		}
	}
	f := 100 * smaller / float64(len(ref))
	low, high := slices.Min(ref), slices.Max(ref)
	switch {
	case f == 0:
		return 100 * (p - low) / (high - low)
	case f == 100:
		return 100 * (high - p) / (high - low)
	case f <= 50:
		return 2 * f
	}
	return 2 * (100 - f)
}

// What cannot be judged is said, and not a flag that is never up: few records, no
// far distance, no record; and of a sensitive species nothing but the curves goes
// below staff, whatever is known.
func TestFlagsThatAreNotJudged(t *testing.T) {
	for _, c := range []struct {
		audience     layers.Audience
		sensitivity  layers.Sensitivity
		records      int
		far          float64
		unlike, far2 bool
	}{
		{layers.Staff, layers.HighSensitivity, 10, 90, true, true},
		{layers.Staff, layers.NotSensitive, 8, 90, false, true},
		{layers.Staff, layers.NotSensitive, 10, 0, true, false},
		{layers.Volunteer, layers.NotSensitive, 10, 90, true, true},
		{layers.Volunteer, layers.LowSensitivity, 10, 90, false, false},
		{layers.Partner, layers.HighSensitivity, 10, 90, false, false},
	} {
		j := plotJob(t, c.audience, c.sensitivity)
		j.Subjects[0].Profile.Facts.Movement.Far = c.far
		places := treePlaces(j.Grid, c.records)
		n, err := newNovelty(planOf(t, j, 512), "tree", places[:len(places)-1])
		if err != nil {
			t.Fatal(err)
		}
		if (n.unlike == "") != c.unlike || (n.distant == "") != c.far2 || c.unlike != (n.refs != nil) || len(n.rasters(NoveltyLook{})) != map[bool]int{true: 3, false: 1}[c.unlike] {
			t.Errorf("%+v: %q, %q", c, n.unlike, n.distant)
		}
		if n.unlike == staffOnly && n.places != nil {
			t.Errorf("%+v: the places are still there", c)
		}
	}
	j := plotJob(t, layers.Staff, layers.NotSensitive)
	n, err := newNovelty(planOf(t, j, 512), "tree", nil)
	if err != nil || n.distant == "" || n.unlike == "" {
		t.Errorf("without a record: %+v, %v", n, err)
	}
}

// Only sound and recent records of the species are accepted, in an order that
// does not depend on the source's.
func TestAcceptedPlaces(t *testing.T) {
	u := 30.0
	row := func(name string, use records.Use, status records.Status, x float64) records.Cleaned {
		return records.Cleaned{Name: name, Use: use, Record: records.Record{Point: orb.Point{x, 1}, Status: status, UncertaintyM: &u}}
	}
	c := &records.Cleaning{Records: []records.Cleaned{
		row("Arbor", records.Coarse, records.Present, 5), row("arbor", records.Fine, records.Present, 2), row("Arbor", records.Held, records.Present, 3),
		row("Arbor", records.History, records.Present, 4), row("Arbor", records.Fine, records.Absent, 6), row("Frutex", records.Fine, records.Present, 7),
	}}
	got := AcceptedPlaces(c, "Arbor")
	want := []AcceptedPlace{{orb.Point{2, 1}, 30, true}, {orb.Point{5, 1}, 30, false}}
	if !slices.Equal(got, want) {
		t.Errorf("%+v, want %+v", got, want)
	}
}
