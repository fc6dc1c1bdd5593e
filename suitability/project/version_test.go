package project

import (
	"bytes"
	"errors"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"
)

var someDay = time.Date(2026, 6, 1, 0, 0, 0, 0, time.UTC)

// hardProfile has what an editor could stumble over: words of several bytes,
// comments that hold numbers, flow and block mappings, weights equal to other
// numbers, and numbers written in several ways.
const hardProfile = `# Kreuzotter – 0.40 of this comment must stay
id: adder
"name": "Adder: weight: 0.4"   # weight: 0.4
floor: 0.01
source: "Größe ≥ 0.40, ‘bank’"
requisites:
  - id: bank      # 0.40
    weight:   0.40   # was 0.35
    criteria: [{id: näher, weight: 0.5, measure: value, layer: x, curve: [[0, 0.5], [1, 1]]}, {id: "süd", weight: .5, measure: value, layer: y, curve: [[0, 0.5], [1, 1]]}]
  - weight: 35e-2
    id: damp

    criteria:
      - {id: only, measure: value, layer: x, curve: [[0, 0.25], [1, 1]]}
  - {id: cover, weight: 0.25, criteria: [{id: a, weight: 1, measure: value, layer: x, curve: [[0, 0.25], [1, 1]]}]}
`

// written puts a profile in a folder of its own and reads it.
func written(t *testing.T, text string) *ProfileFile {
	t.Helper()
	path := filepath.Join(t.TempDir(), "adder.yaml")
	if err := os.WriteFile(path, []byte(text), 0o640); err != nil {
		t.Fatal(err)
	}
	return reread(t, path)
}

func reread(t *testing.T, path string) *ProfileFile {
	t.Helper()
	f, err := ReadProfile(path)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

func content(t *testing.T, path string) string {
	t.Helper()
	raw, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return string(raw)
}

func requisiteWeights(bank, damp, cover float64) Weights {
	return Weights{Requisites: map[string]float64{"bank": bank, "damp": damp, "cover": cover}}
}

// Only the numbers of weights change: the expected text is the old one with
// these numbers replaced by hand. Line ends and a byte order mark stay.
func TestAcceptChangesNumbersOnly(t *testing.T) {
	want := strings.NewReplacer("weight:   0.40 ", "weight:   0.52 ", "35e-2", "0.3", "id: cover, weight: 0.25", "id: cover, weight: 0.18",
		"näher, weight: 0.5", "näher, weight: 0.625", "weight: .5,", "weight: 0.375,").Replace(hardProfile)
	for _, end := range []string{"\n", "\r\n", "\r"} {
		for _, mark := range []string{"", "\xef\xbb\xbf"} {
			as := func(text string) string { return mark + strings.ReplaceAll(text, "\n", end) }
			f := written(t, as(hardProfile))
			w := requisiteWeights(0.52, 0.3, 0.18)
			w.Criteria = map[string]map[string]float64{"bank": {"näher": 0.625, "süd": 0.375}}
			v, err := f.Accept(Change{Weights: w, Reason: "a workshop", Date: someDay})
			if err != nil {
				t.Fatalf("%q: %v", end, err)
			}
			if got := content(t, f.Path); got != as(want) {
				t.Errorf("line ends %q: the file is\n%s", end, got)
			}
			if v.Number != 2 || content(t, f.keptAt(1)) != as(hardProfile) || content(t, f.keptAt(2)) != as(want) {
				t.Errorf("version %d; texts are not kept", v.Number)
			}
		}
	}
}

// Every profile of the invented district, with random weights: what is no weight
// stays byte for byte, the weights are those that were asked for, they sum to 1,
// and a step back brings the old bytes.
func TestAcceptDistrict(t *testing.T) {
	const seed = 23
	t.Logf("seed %d", seed)
	r := rand.New(rand.NewPCG(seed, 0))
	paths, err := filepath.Glob("../../cmd/averholt/district/project/species/*.yaml")
	if err != nil || len(paths) < 5 {
		t.Fatalf("%d profiles, %v", len(paths), err)
	}
	masked := regexp.MustCompile(`(\bweight: *)[0-9.]+`)
	for _, path := range paths {
		before := content(t, path)
		f := written(t, before)
		w := Weights{Criteria: map[string]map[string]float64{}}
		if !f.own.isOrdered() {
			w.Requisites = randomWeights(r, f.Weights().Requisites)
		}
		for id, criteria := range f.Weights().Criteria {
			w.Criteria[id] = randomWeights(r, criteria)
		}
		if _, err := f.Accept(Change{Weights: w, Reason: "try", Date: someDay}); errors.Is(err, ErrSameWeights) {
			continue
		} else if err != nil {
			t.Errorf("%s: %v", path, err)
			continue
		}
		after := content(t, f.Path)
		if masked.ReplaceAllString(before, "$1") != masked.ReplaceAllString(after, "$1") {
			t.Errorf("%s: more than weights changed:\n%s", path, after)
		}
		g := reread(t, f.Path)
		holdWeights(t, path, g.Weights().Requisites, w.Requisites)
		for id := range w.Criteria {
			holdWeights(t, path+" "+id, g.Weights().Criteria[id], w.Criteria[id])
		}
		if back, err := g.RollBack(0, Change{}); err != nil || back.Write() != nil || content(t, f.Path) != before {
			t.Errorf("%s: not rolled back: %v", path, err)
		}
	}
}

func randomWeights(r *rand.Rand, like map[string]float64) map[string]float64 {
	out, sum := map[string]float64{}, 0.0
	for id := range like {
		out[id] = r.ExpFloat64()
		sum += out[id]
	}
	for id := range out {
		out[id] /= sum
	}
	return out
}

func holdWeights(t *testing.T, what string, got, want map[string]float64) {
	t.Helper()
	sum := 0.0
	for id := range got {
		sum += got[id]
		if want != nil && math.Abs(got[id]-want[id]) > 1e-3 {
			t.Errorf("%s: %s weighs %g, not %g", what, id, got[id], want[id])
		}
	}
	if math.Abs(sum-1) > 1e-9 {
		t.Errorf("%s: weights sum to %.12g", what, sum)
	}
}

// Steps back go one further each, a hand's own changes are versions, and no text
// that the file ever held is lost.
func TestRollBackWalks(t *testing.T) {
	f := written(t, hardProfile)
	texts := []string{hardProfile}
	accept := func(w Weights) {
		t.Helper()
		g := reread(t, f.Path)
		if _, err := g.Accept(Change{Weights: w, Reason: `said "so": #1`, Who: "A, B", Evidence: "a\nbook", Date: someDay}); err != nil {
			t.Fatal(err)
		}
		texts = append(texts, content(t, f.Path))
	}
	back := func(to int, want string) {
		t.Helper()
		r, err := reread(t, f.Path).RollBack(to, Change{Who: "C", Date: someDay})
		if err != nil {
			t.Fatal(err)
		}
		if err := r.Write(); err != nil {
			t.Fatal(err)
		}
		if content(t, f.Path) != want {
			t.Errorf("version %d (back to %d) is not the text that was asked for", r.Version.Number, r.Version.Restores)
		}
	}
	accept(requisiteWeights(0.5, 0.3, 0.2)) // version 2
	accept(requisiteWeights(0.6, 0.2, 0.2)) // 3
	back(0, texts[1])                       // 4 = 2
	back(0, texts[0])                       // 5 = 1
	if _, err := reread(t, f.Path).RollBack(0, Change{}); !errors.Is(err, ErrNothingEarlier) {
		t.Errorf("before the first: %v", err)
	}
	back(3, texts[2]) // 6 = 3
	byHand := strings.Replace(texts[2], "floor: 0.01", "floor: 0.02", 1)
	if err := os.WriteFile(f.Path, []byte(byHand), 0o640); err != nil {
		t.Fatal(err)
	}
	back(0, texts[2])                       // 7 by hand, 8 = 6
	accept(requisiteWeights(0.7, 0.1, 0.2)) // 9
	back(0, texts[2])                       // 10 = 8
	versions, err := reread(t, f.Path).Versions()
	if err != nil {
		t.Fatal(err)
	}
	var numbers, restores []int
	kept := map[string]bool{}
	for _, v := range versions {
		numbers, restores = append(numbers, v.Number), append(restores, v.Restores)
		text := content(t, v.File)
		if bytesHash([]byte(text)) != v.After {
			t.Errorf("version %d is not what the log says", v.Number)
		}
		kept[text] = true
	}
	if !slices.Equal(numbers, []int{1, 2, 3, 4, 5, 6, 7, 8, 9, 10}) || !slices.Equal(restores, []int{0, 0, 0, 2, 1, 3, 0, 6, 0, 8}) {
		t.Errorf("numbers %v restore %v", numbers, restores)
	}
	for _, text := range append(texts, byHand) {
		if !kept[text] {
			t.Errorf("a text was lost:\n%s", text)
		}
	}
	v := versions[1]
	if v.Who != "A, B" || v.Reason != `said "so": #1` || v.Evidence != "a book" || !v.Date.Equal(someDay) || v.Before != versions[0].After {
		t.Errorf("the log says %+v", v)
	}
	if info, err := os.Stat(f.Path); err != nil || info.Mode().Perm() != 0o640 {
		t.Errorf("permissions became %v", info.Mode())
	}
}

// What would not end well is refused, and then nothing at all is written.
func TestAcceptRefuses(t *testing.T) {
	shared := strings.Replace(hardProfile, "id: cover, weight: 0.25", "id: cover, weight: *w", 1)
	shared = strings.Replace(shared, "35e-2", "&w 0.3", 1)
	shared = strings.Replace(shared, "  0.40 ", "  0.40 ", 1)
	anchored := strings.Replace(hardProfile, "floor: 0.01", "floor: &f 0.25", 1)
	anchored = strings.Replace(anchored, "id: cover, weight: 0.25", "id: cover, weight: *f", 1)
	twice := strings.Replace(strings.Replace(hardProfile, "floor: 0.01\n", "", 1), "id: cover, weight: 0.25", "id: cover, weight: &f 0.25", 1) + "floor: *f\n"
	ordered := strings.Replace(hardProfile, "floor: 0.01", "rule: {ordered: [0.2, 0.3, 0.5]}", 1)
	for name, c := range map[string]struct {
		text, says string
		change     Change
	}{
		"sum":         {hardProfile, "sum to 0.9, not 1", Change{Reason: "r", Weights: requisiteWeights(0.5, 0.2, 0.2)}},
		"not a share": {hardProfile, "not a weight", Change{Reason: "r", Weights: requisiteWeights(1.5, -0.25, -0.25)}},
		"NaN":         {hardProfile, "not a weight", Change{Reason: "r", Weights: requisiteWeights(math.NaN(), 0.5, 0.5)}},
		"stranger":    {hardProfile, `no "bnak"`, Change{Reason: "r", Weights: Weights{Requisites: map[string]float64{"bank": 0.5, "damp": 0.3, "cover": 0.2, "bnak": 0}}}},
		"left out":    {hardProfile, `"cover" is given no weight`, Change{Reason: "r", Weights: Weights{Requisites: map[string]float64{"bank": 0.5, "damp": 0.5}}}},
		"no such":     {hardProfile, `no requisite "den"`, Change{Reason: "r", Weights: Weights{Criteria: map[string]map[string]float64{"den": {"a": 1}}}}},
		"no reason":   {hardProfile, "needs a reason", Change{Reason: " \n", Weights: requisiteWeights(0.5, 0.3, 0.2)}},
		"same":        {hardProfile, "these weights already", Change{Reason: "r", Weights: requisiteWeights(0.4, 0.35, 0.25)}},
		"alias":       {anchored, "shared with another place", Change{Reason: "r", Weights: requisiteWeights(0.5, 0.3, 0.2)}},
		"anchor":      {twice, "other values of the profile would change", Change{Reason: "r", Weights: requisiteWeights(0.5, 0.3, 0.2)}},
		"ordered":     {ordered, "by their rank", Change{Reason: "r", Weights: requisiteWeights(0.5, 0.3, 0.2)}},
		"all at once": {hardProfile, "", Change{Reason: "r", Weights: requisiteWeights(1, 0, 0)}},
	} {
		f := written(t, c.text)
		_, err := f.Accept(c.change)
		if c.says == "" {
			if err != nil {
				t.Errorf("%s: %v", name, err)
			}
			continue
		}
		if err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: %v, which does not say %q", name, err, c.says)
		}
		if names, _ := namesIn(filepath.Dir(f.Path)); len(names) != 1 || content(t, f.Path) != c.text {
			t.Errorf("%s: %v stand there now", name, names)
		}
	}
}

// A file that changed since it was read is left alone, and so is one whose log
// changed, or cannot be written.
func TestWriteRefusesWhatChanged(t *testing.T) {
	change := Change{Reason: "r", Weights: requisiteWeights(0.5, 0.3, 0.2)}
	f := written(t, hardProfile)
	os.WriteFile(f.Path, []byte(hardProfile+"# mine\n"), 0o644)
	if _, err := f.Accept(change); !errors.Is(err, ErrFileChanged) || content(t, f.Path) != hardProfile+"# mine\n" {
		t.Errorf("a changed file: %v", err)
	}
	f = written(t, hardProfile)
	late, err := f.Revise(change)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := f.Accept(change); err != nil {
		t.Fatal(err)
	}
	os.WriteFile(f.Path, []byte(hardProfile), 0o644)
	if err := late.Write(); !errors.Is(err, ErrFileChanged) {
		t.Errorf("a changed log: %v", err)
	}
	f = written(t, hardProfile)
	if err := os.Mkdir(f.logPath(), 0o755); err != nil {
		t.Fatal(err)
	}
	if _, err := f.Accept(change); err == nil || content(t, f.Path) != hardProfile {
		t.Errorf("a log that cannot be read: %v", err)
	}
}

// Where it stopped between the log and the file, the next change still goes well:
// the file holds an earlier version's text, and the log comes to say so.
func TestAcceptAfterItStopped(t *testing.T) {
	f := written(t, hardProfile)
	if _, err := f.Accept(Change{Reason: "r", Weights: requisiteWeights(0.5, 0.3, 0.2)}); err != nil {
		t.Fatal(err)
	}
	os.WriteFile(f.Path, []byte(hardProfile), 0o644) // as if the last rename had not come about
	f = reread(t, f.Path)
	v, err := f.Accept(Change{Reason: "again", Weights: requisiteWeights(0.5, 0.3, 0.2)})
	if err != nil {
		t.Fatal(err)
	}
	versions, _ := f.Versions()
	if v.Number != 4 || len(versions) != 4 || versions[2].Restores != 1 || versions[3].After != versions[1].After {
		t.Errorf("version %d of %+v", v.Number, versions)
	}
}

// A text that was kept and tampered with is not brought back, and a text whose
// log was lost is not written over.
func TestKeptTextsAreHeld(t *testing.T) {
	f := written(t, hardProfile)
	if _, err := f.Accept(Change{Reason: "r", Weights: requisiteWeights(0.5, 0.3, 0.2)}); err != nil {
		t.Fatal(err)
	}
	os.WriteFile(f.keptAt(1), []byte(hardProfile+"# tampered\n"), 0o644)
	if _, err := reread(t, f.Path).RollBack(0, Change{}); err == nil || !strings.Contains(err.Error(), "not the text that was kept") {
		t.Errorf("a tampered text: %v", err)
	}
	os.Remove(f.logPath())
	v, err := reread(t, f.Path).Accept(Change{Reason: "r", Weights: requisiteWeights(0.6, 0.2, 0.2)})
	if err != nil || v.Number != 4 || content(t, f.keptAt(1)) != hardProfile+"# tampered\n" {
		t.Errorf("version %d after a lost log: %v", v.Number, err)
	}
	if _, err := ReadProfile(f.keptAt(1)); err == nil {
		t.Error("a kept text was taken for a profile in use")
	}
}

// Many at once: every one either writes or is refused, and the log counts those
// that wrote.
func TestAcceptAtOnce(t *testing.T) {
	f := written(t, hardProfile)
	var wait sync.WaitGroup
	var lock sync.Mutex
	done := 0
	for i := range 8 {
		wait.Go(func() {
			g, err := ReadProfile(f.Path)
			if err == nil {
				bank := 0.5 + float64(i)/100
				_, err = g.Accept(Change{Reason: "r", Weights: requisiteWeights(bank, 0.3, 0.7-bank)})
			}
			if err == nil {
				lock.Lock()
				done++
				lock.Unlock()
			}
		})
	}
	wait.Wait()
	versions, err := reread(t, f.Path).Versions()
	if err != nil || done == 0 || len(versions) != done+1 {
		t.Errorf("%d wrote, the log has %d: %v", done, len(versions), err)
	}
	for _, v := range versions {
		if content(t, v.File) == "" || bytesHash([]byte(content(t, v.File))) != v.After {
			t.Errorf("version %d is not what the log says", v.Number)
		}
	}
}

// Largest remainders by hand, and the laws: the sum is 1, no weight is off by a
// thousandth, and none above 0 vanishes.
func TestRoundWeights(t *testing.T) {
	for _, c := range []struct{ in, want []float64 }{
		{[]float64{1. / 3, 1. / 3, 1. / 3}, []float64{.334, .333, .333}},
		{[]float64{.6370, .2583, .1047}, []float64{.637, .258, .105}},
		{[]float64{.5, .5}, []float64{.5, .5}},
		{[]float64{.1, .2, .7}, []float64{.1, .2, .7}},
		{[]float64{.9999, .0001}, []float64{.9999, .0001}},
		{[]float64{1, 0}, []float64{1, 0}},
	} {
		got, err := RoundWeights(c.in)
		if err != nil || !slices.Equal(got, c.want) {
			t.Errorf("%v became %v, not %v (%v)", c.in, got, c.want, err)
		}
	}
	const seed = 29
	t.Logf("seed %d", seed)
	r := rand.New(rand.NewPCG(seed, 0))
	for range 2000 {
		in, sum := make([]float64, 1+r.IntN(15)), 0.0
		for i := range in {
			in[i] = r.ExpFloat64()
			sum += in[i]
		}
		for i := range in {
			in[i] /= sum
		}
		got, err := RoundWeights(in)
		if err != nil {
			t.Fatal(err)
		}
		parts := 0.0
		for i := range got {
			parts += math.Round(got[i] * 1e6)
			if math.Abs(got[i]-in[i]) >= 1e-3 || in[i] > 1e-5 && got[i] == 0 {
				t.Errorf("%v became %v", in, got)
			}
		}
		if parts != 1e6 {
			t.Errorf("%v sum to %g", got, parts/1e6)
		}
	}
}

// What is no profile, or is damaged, is an error and no panic.
func FuzzReadProfile(f *testing.F) {
	f.Add([]byte(hardProfile))
	f.Add([]byte("id: a\nrequisites: [{id: b, weight: 1, criteria: [{id: c}]}]\n"))
	f.Fuzz(func(t *testing.T, raw []byte) {
		p, err := parseProfile("adder.yaml", bytes.Clone(raw))
		if err != nil {
			return
		}
		w := Weights{Requisites: p.Weights().Requisites, Criteria: p.Weights().Criteria}
		if p.own.isOrdered() {
			w.Requisites = nil
		}
		if out, err := p.rewrite(w); err == nil && len(out) == 0 {
			t.Error("the text became empty")
		}
	})
}
