package project

import (
	"errors"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

const judgedProject = `area:
  name: Heath
  date: 2026-06-01
  grid: {crs: "EPSG:32631", cell: 100, extent: [500000, 6200000, 520000, 6220000]}
layers:
  x: {source: x.tif, kind: quantity}
  y: {source: x.tif, kind: quantity}
species:
  - file: adder.yaml
  - id: newt
    source: assumption
    rule: {ordered: [0.4, 0.6]}
    requisites:
      - {id: pond, criteria: [{id: a, weight: 0.4, measure: value, layer: x, curve: [[0, 0.5], [1, 1]]}, {id: b, weight: 0.6, measure: value, layer: y, curve: [[0, 0.5], [1, 1]]}]}
      - {id: land, criteria: [{id: a, measure: value, layer: x, curve: [[0, 0.5], [1, 1]]}]}
`

// judged reads judgements on a small project.
func judged(t *testing.T, text string) (*Judgements, error) {
	t.Helper()
	folder := t.TempDir()
	for name, text := range map[string]string{"tussock.yaml": judgedProject, "adder.yaml": hardProfile, "x.tif": "not opened", "j.yaml": text} {
		if err := os.WriteFile(filepath.Join(folder, name), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	return LoadJudgements(folder, filepath.Join(folder, "j.yaml"))
}

// The three kinds, each as the help shows it.
func TestLoadJudgements(t *testing.T) {
	head := "species: adder\nof: requisites\ndate: 2026-05-20\nevidence: a book\n"
	j, err := judged(t, head+"kind: pairwise\nexperts:\n  - code: A\n    evidence: field\n    pairwise:\n      bank: {damp: 3, cover: 5}\n      cover: {damp: 1/3, bank: 0.2, cover: 1}\n")
	if err != nil {
		t.Fatal(err)
	}
	m := j.Experts[0].Pairwise
	if !slices.Equal(j.Items, []string{"bank", "damp", "cover"}) || !slices.Equal(j.Present, []float64{0.40, 0.35, 0.25}) ||
		m[0][1] != 3 || m[1][0] != 1./3 || m[0][2] != 5 || m[2][1] != 1./3 || m[1][2] != 3 || m[1][1] != 1 {
		t.Errorf("%+v", j)
	}
	if f, err := j.Profile(); err != nil || f.ID() != "adder" || j.Experts[0].Evidence != "field" || j.Date.Day() != 20 {
		t.Errorf("%v %+v", err, j)
	}
	j, err = judged(t, head+"kind: intervals\nexperts:\n  - code: A\n    intervals: {damp: &d {lowest: 1, highest: 3, best: 2, confidence: 80}, bank: *d, cover: *d}\n")
	if err != nil || j.Experts[0].Intervals[2] != (Interval{1, 3, 2, 80}) {
		t.Errorf("%v %+v", err, j)
	}
	j, err = judged(t, strings.Replace(head, "requisites", "bank", 1)+"kind: direct\nexperts:\n  - {code: A, direct: {süd: 1, näher: 3}}\n")
	if err != nil || !slices.Equal(j.Experts[0].Direct, []float64{3, 1}) || j.Change([]float64{.7, .3}).Criteria["bank"]["süd"] != .3 {
		t.Errorf("%v %+v", err, j)
	}
	j, err = judged(t, "species: newt\nof: pond\ndate: 2026-05-20\nkind: direct\nexperts:\n  - {code: A, direct: {a: 1, b: 3}}\n")
	if err != nil {
		t.Fatal(err)
	}
	if _, err := j.Profile(); err == nil || !strings.Contains(err.Error(), "tussock.yaml:10:9") || !strings.Contains(err.Error(), "species/newt.yaml") {
		t.Errorf("a profile in place: %v", err)
	}
}

// Every mistake is found with its place, line and column counted by hand.
func TestJudgementMistakes(t *testing.T) {
	start := "species: adder\nof: requisites\ndate: 2026-05-20\nkind: "
	for _, c := range []struct{ text, says string }{
		{"species: addder\nof: x\ndate: 2026-05-20\nkind: direct\nexperts: [{code: A}]\n", `j.yaml:1:10: the project has no species "addder"|did you mean`},
		{"species: adder\nof: banck\ndate: 2026-05-20\nkind: direct\nexperts: [{code: A}]\n", `j.yaml:2:5: adder has no requisite "banck"|did you mean`},
		{"species: adder\nof: damp\ndate: 2026-05-20\nkind: direct\nexperts: [{code: A}]\n", `j.yaml:2:5: there is nothing to weigh`},
		{"species: newt\nof: requisites\ndate: 2026-05-20\nkind: direct\nexperts: [{code: A}]\n", `j.yaml:2:5: the rule of newt weighs requisites by their rank`},
		{"species: adder\nof: requisites\nkind: guess\nexperts: []\n", "j.yaml:3:7: \"guess\" is not known here|`date` is missing|j.yaml:4:10: at least 1 items"},
		{start + "pairwise\nexperts:\n  - code: A\n    pairwise: {bank: {damp: 12, cover: 5}, damp: {cover: 3}}\n", "j.yaml:7:29: 12 is out of bounds: it must be from 1/9 to 9"},
		{start + "pairwise\nexperts:\n  - code: A\n    pairwise: {bank: {damp: 2, cover: 5}, damp: {cover: 3, bank: 2}}\n", "j.yaml:7:66: damp against bank was said before, as 0.5 times; this makes it 2"},
		{start + "pairwise\nexperts:\n  - code: A\n    pairwise: {bank: {damp: 2, cover: 5}, damp: {}}\n", "j.yaml:7:49: nothing is written here"},
		{start + "pairwise\nexperts:\n  - code: A\n    pairwise: {bank: {damp: 2, cover: 5}}\n", "j.yaml:7:15: not everything was judged|add damp against cover"},
		{start + "pairwise\nexperts:\n  - code: A\n    pairwise: {bank: {dmap: 2, cover: 5}, damp: {cover: 1/0}}\n", "j.yaml:7:23: \"dmap\" is not one of the items|did you mean|j.yaml:7:57: 1/0 is out of bounds"},
		{start + "direct\nexperts:\n  - {code: A, direct: {bank: 1, damp: 2, cover: 3}}\n  - {code: a, direct: {bank: 1, damp: -2, cover: 3}}\n", "j.yaml:7:12: \"a\" has spoken already|j.yaml:7:39: -2 is out of bounds"},
		{start + "direct\nexperts:\n  - {code: A, direct: {bank: 0, damp: 0, cover: 0}}\n", "j.yaml:6:23: every weight is 0"},
		{start + "direct\nexperts:\n  - {code: A, intervals: {bank: {lowest: 3, highest: 4, best: 2, confidence: 40}}}\n", "the kind is direct, and this is intervals|`direct` is missing|40 is out of bounds"},
		{start + "intervals\nexperts:\n  - code: A\n    intervals:\n      bank: {lowest: 3, highest: 4, best: 2, confidence: 80}\n      damp: {lowest: 3, highest: 4}\n", "j.yaml:8:13: lowest 3, best 2, highest 4 do not rise|j.yaml:9:13: `best` is missing"},
		{"- a\n", "j.yaml:1:1: a mapping"},
		{"a: [\n", "j.yaml"},
	} {
		_, err := judged(t, c.text)
		var problems Problems
		if !errors.As(err, &problems) {
			t.Errorf("%s\n%v", c.text, err)
			continue
		}
		for _, part := range strings.Split(c.says, "|") {
			if !strings.Contains(err.Error(), part) {
				t.Errorf("%s%v\nwhich does not say %q", c.text, err, part)
			}
		}
	}
}

// Whatever the text is, reading it ends, with an error or with as many answers
// as there are items.
func FuzzJudgements(f *testing.F) {
	folder := f.TempDir()
	for name, text := range map[string]string{"tussock.yaml": judgedProject, "adder.yaml": hardProfile, "x.tif": "not opened"} {
		if err := os.WriteFile(filepath.Join(folder, name), []byte(text), 0o644); err != nil {
			f.Fatal(err)
		}
	}
	r, err := checked(folder)
	if err != nil {
		f.Fatal(err)
	}
	f.Add("species: adder\nof: requisites\ndate: 2026-05-20\nkind: pairwise\nexperts:\n  - code: A\n    pairwise: {bank: {damp: 3, cover: 5}, damp: {cover: 1/3}}\n")
	f.Add("species: adder\nof: bank\ndate: 2026-05-20\nkind: direct\nexperts:\n  - {code: A, direct: {süd: 1, näher: 3}}\n")
	f.Fuzz(func(t *testing.T, text string) {
		j, err := r.judgements("j.yaml", text)
		if err != nil {
			return
		}
		for _, e := range j.Experts {
			if n := len(e.Pairwise) + len(e.Intervals) + len(e.Direct); n != len(j.Items) {
				t.Errorf("%d answers for %d items", n, len(j.Items))
			}
		}
	})
}
