package district

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/goccy/go-yaml"

	"tussock/layers"
	"tussock/suitability"
)

// writtenProfile is what these tests look at of a profile's file.
type writtenProfile struct {
	ID, Name, Scientific, Rule, Sensitivity, Source string
	Floor                                           float64
	Requisites                                      []struct {
		ID       string
		Weight   float64
		Criteria []writtenTerm
	}
	Multipliers, Exclusions []writtenTerm
	Hazard, Movement, Patch struct{ Source string }
	Survey                  []struct {
		Method, Source string
		Licensed       bool
	}
	LookAlikes []struct{ With, Mark string } `yaml:"look_alikes"`
}

type writtenTerm struct {
	ID, Measure, Source string
	Weight              float64
	Species             []string
}

// terms are all criteria, multipliers and exclusions.
func (p writtenProfile) terms() []writtenTerm {
	var list []writtenTerm
	for _, r := range p.Requisites {
		list = append(list, r.Criteria...)
	}
	return slices.Concat(list, p.Multipliers, p.Exclusions)
}

// projectFile is what these tests look at of the project file.
type projectFile struct {
	Species []struct{ File string }
}

func unmarshal(t *testing.T, name string, into any) {
	t.Helper()
	text, err := written.ReadFile("project/" + name)
	if err == nil {
		err = yaml.Unmarshal(text, into)
	}
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
}

// writtenProfiles are the profiles in the order of the project file.
func writtenProfiles(t *testing.T) []writtenProfile {
	t.Helper()
	var file projectFile
	unmarshal(t, "tussock.yaml", &file)
	var list []writtenProfile
	for _, s := range file.Species {
		var p writtenProfile
		unmarshal(t, s.File, &p)
		list = append(list, p)
	}
	if files, err := written.ReadDir("project/species"); err != nil || len(files) != len(list) || len(list) != 10 {
		t.Fatalf("%d files, %d profiles in the project, %v", len(files), len(list), err)
	}
	return list
}

// TestEveryValueHasASource: every criterion, multiplier and fact says itself
// where it is from; none leans on the profile's own source.
func TestEveryValueHasASource(t *testing.T) {
	for _, p := range writtenProfiles(t) {
		check := func(what, source string) {
			if strings.TrimSpace(source) == "" {
				t.Errorf("%s: %s has no source", p.ID, what)
			}
		}
		check("the profile", p.Source)
		for _, term := range p.terms() {
			check(term.ID, term.Source)
		}
		check("the hazard", p.Hazard.Source)
		check("the movement", p.Movement.Source)
		check("the patch", p.Patch.Source)
		for _, s := range p.Survey {
			check(s.Method, s.Source)
			if strings.Contains(s.Method, "licensed") != s.Licensed {
				t.Errorf("%s: %q says something else of licences than `licensed: %v`", p.ID, s.Method, s.Licensed)
			}
		}
	}
}

// TestEvaluationNeedsNoCircle: every species that another one needs stands
// before it in the project file, so there is an order without a circle.
func TestEvaluationNeedsNoCircle(t *testing.T) {
	before := map[string]bool{}
	needs := 0
	for _, p := range writtenProfiles(t) {
		for _, term := range p.terms() {
			for _, other := range term.Species {
				if needs++; !before[other] {
					t.Errorf("%s needs %s, which is not read before it", p.ID, other)
				}
			}
		}
		before[p.ID] = true
	}
	if needs == 0 {
		t.Error("no species needs another")
	}
}

// TestKnownOccurrences: one species that is not sensitive and one that is are
// asked for known occurrences, and each says that this is an assumption.
func TestKnownOccurrences(t *testing.T) {
	sensitive := map[bool]int{}
	for _, p := range writtenProfiles(t) {
		for _, term := range p.terms() {
			if term.Measure == "records" {
				sensitive[p.Sensitivity != "none"]++
				if !strings.HasPrefix(term.Source, "assumption") || term.Weight > 0.1 {
					t.Errorf("%s: weight %g, source %q", p.ID, term.Weight, term.Source)
				}
			}
		}
	}
	if sensitive[true] != 1 || sensitive[false] != 1 {
		t.Errorf("%d sensitive, %d others", sensitive[true], sensitive[false])
	}
}

// TestLookAlikesAreKnown: what a species is mistaken for is a species of the
// project, or is said in words.
func TestLookAlikesAreKnown(t *testing.T) {
	profiles := writtenProfiles(t)
	for _, p := range profiles {
		for _, l := range p.LookAlikes {
			known := slices.ContainsFunc(profiles, func(o writtenProfile) bool { return o.ID == l.With })
			if !known && !strings.Contains(l.With, " ") {
				t.Errorf("%s: there is no species %q", p.ID, l.With)
			}
		}
	}
}

// TestSandLizardInASandPit: requisites of 0.70, 1.00 and 0.94, under the
// profile's own rule and weights, give 0.70^0.45 · 1.00^0.30 · 0.94^0.25 =
// 0.8386. Source: own calculation, by hand.
func TestSandLizardInASandPit(t *testing.T) {
	profiles := writtenProfiles(t)
	at := slices.IndexFunc(profiles, func(p writtenProfile) bool { return p.ID == "sand_lizard" })
	p := suitability.Profile{ID: "sand_lizard", Floor: profiles[at].Floor}
	var err error
	if p.Rule, err = suitability.ParseRule(profiles[at].Rule); err != nil {
		t.Fatal(err)
	}
	for i, r := range profiles[at].Requisites {
		criterion := suitability.Criterion{ID: r.ID, Weight: 1, Measure: layers.Value{Layer: fmt.Sprint("requisite ", i)}, Rating: suitability.Curve{{X: 0, Y: 0}, {X: 1, Y: 1}}}
		p.Requisites = append(p.Requisites, suitability.Requisite{ID: r.ID, Weight: r.Weight, Criteria: []suitability.Criterion{criterion}})
	}
	e, err := p.Explain([]float64{0.70, 1.00, 0.94})
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(e.S-0.8386) > 5e-5 {
		t.Errorf("%.6f, not 0.8386", e.S)
	}
}

// TestNoFirstAidIsWritten: the wording leaves first aid to the health service,
// and says who is to enter its text; no profile has any either.
func TestNoFirstAidIsWritten(t *testing.T) {
	var wording struct {
		Cautions []string
		Contacts []struct{ Who, What, How string }
		FirstAid struct{ Text, Keeper string } `yaml:"first_aid"`
	}
	unmarshal(t, "wording.yaml", &wording)
	if wording.FirstAid.Text != "" || wording.FirstAid.Keeper == "" {
		t.Errorf("%+v", wording.FirstAid)
	}
	for _, c := range wording.Contacts {
		if !strings.Contains(c.How, "to be filled in") {
			t.Errorf("%s: an invented district has no contact %q", c.Who, c.How)
		}
	}
	for _, p := range writtenProfiles(t) {
		text, _ := written.ReadFile("project/species/" + p.ID + ".yaml")
		for _, word := range []string{"tourniquet", "bandage", "suck", "paracetamol", "keep still", "ibuprofen"} {
			if strings.Contains(strings.ToLower(string(text)), word) {
				t.Errorf("%s: %q is first aid", p.ID, word)
			}
		}
	}
}

// TestTruthIsNotUsed: the project file names nothing of what is really there.
func TestTruthIsNotUsed(t *testing.T) {
	var all any
	unmarshal(t, "tussock.yaml", &all)
	if strings.Contains(fmt.Sprint(all), "truth") {
		t.Error("the project file names the truth")
	}
}
