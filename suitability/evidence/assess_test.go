package evidence

import (
	"math"
	"math/rand/v2"
	"reflect"
	"testing"

	"tussock/layers"
	"tussock/suitability"
)

// TestNoRecordSpeaksForItself takes ground that is the same everywhere, on which
// the map knows nothing but the records: judged with them it would be perfect.
// Records that stand alone in their blocks must then find no better ground than
// any.
func TestNoRecordSpeaksForItself(t *testing.T) {
	g := landGrid(t, 200, 200)
	flat := make([]float32, g.Cols*g.Rows)
	for i := range flat {
		flat[i] = 0.5
	}
	j := landJob(t, g, map[string][]float32{"flat": flat})
	var places []Place
	for row := 50; row < 200; row += 100 { // the middle of every second block of 5 km
		for col := 25; col < 200; col += 50 {
			for k := range 3 {
				places = append(places, Place{At: g.Centre(col+k, row-25), Radius: 150})
			}
		}
	}
	p := assessPlaces(t, j, likes("flat", pointsOf(places)...), places, AssessOptions{Side: 5000})
	if !p.Rebuilt || p.InRange.Records != 24 {
		t.Fatalf("%+v", p.InRange)
	}
	// Every record sees 0.5·0.5 and nothing known near by, as the ground does.
	if p.InRange.AUC.Value != 0.5 || p.InRange.Index.Err == nil || p.Claim.Skill != NotDefined {
		t.Errorf("AUC %g, index %v, %+v", p.InRange.AUC.Value, p.InRange.Index, p.Claim)
	}
	for _, f := range p.Folds {
		if f.AUC.Value != 0.5 {
			t.Errorf("fold %d: AUC %g", f.Fold, f.AUC.Value)
		}
	}
	if p.Measures != nil {
		t.Errorf("%+v", p.Measures)
	}
}

// TestGroundWithoutOwnRecords holds the map that ground is judged by against one
// made anew, block by block, of the other blocks' records.
func TestGroundWithoutOwnRecords(t *testing.T) {
	const seed = 8
	random := rand.New(rand.NewPCG(seed, 0))
	g := landGrid(t, 90, 70)
	cells := hills(random, g, 20)
	j := landJob(t, g, map[string][]float32{"land": cells})
	places := scattered(random, g, cells, 2, 40)
	s := likes("land", pointsOf(places)...)
	blocks := NewBlocks(g, 2300)
	folds := blocks.Deal(3, make([]int, blocks.Count()), 1)
	for _, p := range []parts{{"blocks", blocks.Of}, {"folds", folds.Of}} {
		w := layers.Window{Col: 11, Row: 5, Cols: 60, Rows: 50}
		got, err := j.Habitats(w, subjectOwnOut(s, p))
		if err != nil {
			t.Fatal(err)
		}
		byPart := map[int]suitability.Habitat{}
		differ := 0
		all, err := j.Habitats(w, s)
		if err != nil {
			t.Fatal(err)
		}
		for row := w.Row; row < w.Bottom(); row++ {
			for col := w.Col; col < w.Right(); col++ {
				part := p.of(col, row)
				if _, made := byPart[part]; !made {
					list, err := j.Habitats(w, subjectWithout(s, g, p, part))
					if err != nil {
						t.Fatal(err)
					}
					byPart[part] = list[0]
				}
				if want := byPart[part].S.Value(col, row); got[0].S.Value(col, row) != want {
					t.Fatalf("seed %d, %s: cell %d, %d: %g, not %g", seed, p.name, col, row, got[0].S.Value(col, row), want)
				}
				if got[0].S.Value(col, row) != all[0].S.Value(col, row) {
					differ++
				}
			}
		}
		if differ < 100 {
			t.Errorf("%s: only %d cells differ from the map with all records", p.name, differ)
		}
	}
}

// TestAnyWindowGivesTheSame assesses by windows of several sides, with a profile
// that uses records and a range with an edge: everything must be equal to the
// last digit.
func TestAnyWindowGivesTheSame(t *testing.T) {
	const seed = 5
	random := rand.New(rand.NewPCG(seed, 0))
	g := landGrid(t, 120, 100)
	cells := hills(random, g, 15)
	cells[57], cells[4021] = -9999, -9999
	j := landJob(t, g, map[string][]float32{"land": cells})
	places := scattered(random, g, cells, 2, 90)
	for _, s := range []suitability.Subject{likes("land"), likes("land", pointsOf(places)...)} {
		s.Range = box(t, g, 1500, 20.5, -4, 130, 70.3)
		s.Profile.EdgeM = 1500
		var first *PresenceBackground
		for _, window := range []int{512, 33, 7} {
			p := assessPlaces(t, j, s, places, AssessOptions{Window: window, Seed: 3, Draws: 40})
			if first == nil {
				first = p
				t.Logf("seed %d: %d records in range, %d at its edge, %d beyond; index %.3f (%.3f to %.3f); %s", seed,
					p.InRange.Records, p.AtEdge, p.Unused[NotInRange]-p.AtEdge, p.InRange.Index.Index, p.InRange.Index.Low, p.InRange.Index.High, p.Claim.Skill)
				if p.WithEdge == nil || p.WithEdge.Records != p.InRange.Records+p.AtEdge || p.WithEdge.Cells <= p.InRange.Cells {
					t.Errorf("with the edge: %+v", p.WithEdge)
				}
			} else if !reflect.DeepEqual(first, p) {
				t.Errorf("seed %d: windows of %d cells give something else:\n%+v\nnot\n%+v", seed, window, p, first)
			}
		}
	}
}

// TestAssessByBruteForce takes a small ground apart by hand: which cells count,
// the mean over a disc, and AUC over all pairs.
func TestAssessByBruteForce(t *testing.T) {
	const seed = 21
	random := rand.New(rand.NewPCG(seed, 0))
	g := landGrid(t, 60, 50)
	cells := hills(random, g, 12)
	wet := make([]float32, len(cells))
	for i := range wet {
		if random.IntN(9) == 0 {
			wet[i] = 1
		}
		if random.IntN(40) == 0 {
			cells[i] = -9999
		}
	}
	j := landJob(t, g, map[string][]float32{"land": cells, "wet": wet})
	s := likes("land")
	half := 0.5
	s.Profile.Exclusions = []suitability.Exclusion{{ID: "wet", Measure: layers.Value{Layer: "wet"}, Above: &half}}
	s.Range = box(t, g, 0, 10, 10, 50, 50)
	places := scattered(random, g, cells, 1, 150)
	p := assessPlaces(t, j, s, places, AssessOptions{Window: 16, Side: 1000, Draws: 20})

	counts := func(col, row int) bool {
		return col >= 10 && col < 50 && row >= 10 && row < 50 && cells[row*g.Cols+col] != -9999 && wet[row*g.Cols+col] == 0
	}
	var background, presence []float64
	for row := range g.Rows {
		for col := range g.Cols {
			if counts(col, row) {
				background = append(background, float64(cells[row*g.Cols+col]))
			}
		}
	}
	for _, place := range places {
		col, row := g.CellAt(place.At)
		if col < 10 || col >= 50 || row < 10 || row >= 50 {
			continue
		}
		// The disc's cells beyond the range count as ground: they are in the disc.
		sum, used, known, all := 0.0, 0, 0, 0
		for r := range g.Rows {
			for c := range g.Cols {
				centre := g.Centre(c, r)
				if (c != col || r != row) && math.Hypot(centre[0]-place.At[0], centre[1]-place.At[1]) > place.Radius {
					continue
				}
				all++
				switch v := cells[r*g.Cols+c]; {
				case wet[r*g.Cols+c] == 1:
					known++
				case v != -9999:
					known++
					sum += float64(v)
					used++
				}
			}
		}
		if float64(known) >= 0.6*float64(all) && used > 0 {
			presence = append(presence, sum/float64(used))
		}
	}
	below := 0.0
	for _, v := range presence {
		for _, b := range background {
			switch {
			case v > b:
				below++
			case v == b:
				below += 0.5
			}
		}
	}
	auc := below / float64(len(presence)) / float64(len(background))
	if p.InRange.Records != len(presence) || p.InRange.Cells != int64(len(background)) || math.Abs(p.InRange.AUC.Value-auc) > 1e-6 {
		t.Errorf("seed %d: %d records on %d cells, AUC %.7f; by hand %d on %d, %.7f", seed, p.InRange.Records, p.InRange.Cells, p.InRange.AUC.Value, len(presence), len(background), auc)
	}
	if p.Unused[PlaceUnknown]+p.Unused[PlaceExcluded]+p.Unused[NotInRange]+p.InRange.Records != len(places) {
		t.Errorf("%v and %d used of %d", p.Unused, p.InRange.Records, len(places))
	}
	inFolds := 0
	for _, f := range p.Folds {
		inFolds += f.Records
	}
	if inFolds != p.InRange.Records {
		t.Errorf("folds hold %d of %d records", inFolds, p.InRange.Records)
	}
}

// TestOwnOutIsStillOfRecords: what stands for records in a variant of a sensitive
// species is taken out below staff as records are.
func TestOwnOutIsStillOfRecords(t *testing.T) {
	g := landGrid(t, 20, 20)
	s := likes("land", layers.WeightedPoint{At: g.Centre(3, 3), Weight: 1})
	s.Profile.Sensitivity = layers.HighSensitivity
	variant := subjectOwnOut(s, onePart)
	if got := len(variant.For(layers.Staff).Profile.Requisites[0].Criteria); got != 2 {
		t.Errorf("staff: %d criteria", got)
	}
	if got := len(variant.For(layers.Partner).Profile.Requisites[0].Criteria); got != 1 {
		t.Errorf("below staff: %d criteria", got)
	}
}
