package suitability

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"tussock/layers"
)

// knownPlaces stands for records: a number that grows with how many there are.
type knownPlaces struct {
	layers.Mean
	places string
}

func (k knownPlaces) Key() string        { return "records " + k.places }
func (k knownPlaces) Recipe() string     { return "records" }
func (k knownPlaces) PointsHash() string { return k.places }
func (k knownPlaces) Eval(r layers.Reader, w layers.Window) (layers.Block, error) {
	b, err := k.Mean.Eval(r, w)
	for i := range b.Values {
		b.Values[i] /= float32(100 + 10*len(k.places))
	}
	return b, err
}

// secretJob maps a species with records in every part of its profile, and one
// that looks for it near by.
func secretJob(t testing.TB, a layers.Audience, category layers.Sensitivity, places string) *Job {
	grid := landscapeGrid(t)
	grid.Cols, grid.Rows = 300, 200
	j := richJob(t, grid, Bytes, a)
	known := knownPlaces{layers.Mean{Layer: "elev", Radius: 50}, places}
	tooMany := 2.5
	heath := layers.Share{Layer: "cover", Radius: 60, Weights: map[string]float64{"heath": 1}}
	secret := Subject{Profile: &Profile{ID: "secret", Floor: DefaultFloor, Sensitivity: category, Missing: Missing{Kind: MissingLeaveOut},
		Requisites: []Requisite{
			{ID: "ground", Weight: 0.5, Criteria: []Criterion{{ID: "known", Weight: 0.3, Measure: known, Rating: Curve{{0, 0}, {3, 1}}}, {ID: "heath", Weight: 0.7, Measure: heath, Rating: Curve{{0, 0.1}, {0.5, 1}}}}},
			{ID: "near", Weight: 0.2, Criteria: []Criterion{{ID: "known", Weight: 1, Measure: known, Rating: Curve{{0, 0.4}, {3, 1}}}}},
			{ID: "height", Weight: 0.3, Criteria: []Criterion{{ID: "height", Weight: 1, Measure: layers.Value{Layer: "elev"}, Rating: Curve{{0, 0.1}, {300, 1}}}}},
		},
		Multipliers: []Multiplier{{ID: "known", Measure: known, Rating: Curve{{0, 0.8}, {3, 1}}}},
		Exclusions:  []Exclusion{{ID: "known", Measure: known, Above: &tooMany}},
	}}
	hunter := Subject{Profile: &Profile{ID: "hunter", Requisites: []Requisite{{ID: "food", Weight: 1, Criteria: []Criterion{
		{ID: "prey", Weight: 1, Measure: NearbySpecies{Others: []Subject{secret}, Radius: 80}, Rating: identity}}}}}}
	j.Subjects = []Subject{secret, hunter, {Profile: beiLike()}}
	return j
}

// By bytes: below staff nothing that is written depends on the records of a
// sensitive species, whatever its category; for staff, and for a species that
// is not sensitive, it does.
func TestRecordsOfSensitiveSpeciesShapeNoMapBelowStaff(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		audience layers.Audience
		category layers.Sensitivity
		differ   bool
	}{
		{layers.Public, layers.LowSensitivity, false}, {layers.Public, layers.HighSensitivity, false}, {layers.Public, layers.ExtremeSensitivity, false},
		{layers.Volunteer, layers.MediumSensitivity, false}, {layers.Partner, layers.HighSensitivity, false}, {layers.Partner, layers.LowSensitivity, false},
		{layers.Staff, layers.HighSensitivity, true}, {layers.Public, layers.NotSensitive, true},
	} {
		what := fmt.Sprintf("%v, %v", c.audience, c.category)
		var before map[string]string
		for _, places := range []string{"", "abcdef"} {
			j := secretJob(t, c.audience, c.category, places)
			catalogue := build(t, j)
			files := publishedFiles(t, j)
			withheld := c.category == layers.ExtremeSensitivity && c.audience != layers.Staff
			if len(catalogue.Withheld) == 2 != withheld {
				t.Errorf("%s: withheld are %v", what, catalogue.Withheld)
			}
			switch {
			case before == nil:
				before = files
			case !c.differ:
				sameFiles(t, what+" with "+places, files, before)
			default:
				for name := range before {
					if name != CatalogueName && !strings.Contains(name, "height") && files[name] != "" {
						t.Errorf("%s: %s stays", what, name)
					}
				}
			}
		}
	}
}

func TestProfileForAnAudience(t *testing.T) {
	j := secretJob(t, layers.Public, layers.LowSensitivity, "abc")
	secret := j.Subjects[0].Profile
	before := secret.Hash()
	if secret.For(layers.Staff) != secret {
		t.Error("staff get another profile")
	}
	q := secret.For(layers.Volunteer)
	if len(q.Requisites) != 2 || len(q.Multipliers) != 0 || len(q.Exclusions) != 0 || len(q.Requisites[0].Criteria) != 1 {
		t.Fatalf("what is left: %+v", q)
	}
	if errs := append(q.Validate(), q.CheckWeightSums()...); len(errs) > 0 {
		t.Error(errs)
	}
	// 0.5 and 0.3 of 0.8, scaled up to 1.
	if math.Abs(q.Requisites[0].Weight-0.625) > 1e-15 || math.Abs(q.Requisites[1].Weight-0.375) > 1e-15 || q.Requisites[0].Criteria[0].Weight != 1 {
		t.Errorf("weights %v, %v, %v", q.Requisites[0].Weight, q.Requisites[1].Weight, q.Requisites[0].Criteria[0].Weight)
	}
	if secret.Hash() != before || len(secret.Requisites) != 3 || len(secret.Requisites[0].Criteria) != 2 {
		t.Error("the profile itself has changed")
	}
	plain := beiLike()
	if plain.Sensitivity = layers.HighSensitivity; plain.For(layers.Public).Hash() != plain.Hash() {
		t.Error("a profile without records has changed")
	}
	if nobody := secret.For(0); len(nobody.Multipliers) > 0 {
		t.Error("nobody sees more than the public")
	}
}

// A dropped requisite takes its part of ordered weights with it.
func TestProfileForKeepsOrderedRulesWhole(t *testing.T) {
	p := secretJob(t, layers.Public, layers.LowSensitivity, "abc").Subjects[0].Profile
	p.Rule = Rule{Kind: Ordered, Weights: []float64{0, 0, 1}}
	q := p.For(layers.Public)
	if fmt.Sprint(q.Rule.Weights) != "[0 1]" || len(q.Validate()) > 0 {
		t.Errorf("rule %v: %v", q.Rule, q.Validate())
	}
}

// The evaluation of what is left is that of a profile written without records.
func TestProfileForIsTheProfileWithoutRecords(t *testing.T) {
	seed := rand.Uint64()
	t.Logf("seed %d", seed)
	r := rand.New(rand.NewPCG(seed, 1))
	for range 200 {
		p := randomProfile(r)
		p.Sensitivity = layers.MediumSensitivity
		without := *p
		without.Requisites = nil
		for i, q := range p.Requisites {
			bare := q
			known := Criterion{ID: "known", Weight: r.Float64(), Measure: knownPlaces{places: "x"}, Rating: identity}
			p.Requisites[i].Criteria = append(p.Requisites[i].Criteria[:len(q.Criteria):len(q.Criteria)], known)
			without.Requisites = append(without.Requisites, bare)
		}
		rows := randomRows(r, &without, 50)
		for i := range 50 {
			got, err := p.For(layers.Partner).Explain(valuesAt(rows, i))
			if err != nil {
				t.Fatal(err)
			}
			want, err := without.Explain(valuesAt(rows, i))
			if err != nil {
				t.Fatal(err)
			}
			if !(math.Abs(got.S-want.S) <= 1e-12) && (got.S == got.S || want.S == want.S) {
				t.Fatalf("seed %d: S %g, not %g", seed, got.S, want.S)
			}
		}
	}
}

func TestNothingButRecordsIsAnErrorBelowStaff(t *testing.T) {
	only := func(a layers.Audience, category layers.Sensitivity) *Job {
		j := secretJob(t, a, category, "abc")
		p := j.Subjects[0].Profile
		p.Requisites = p.Requisites[1:2]
		return j
	}
	centre := landscapeGrid(t).Centre(5, 5)
	for _, a := range []layers.Audience{layers.Public, layers.Volunteer, layers.Partner} {
		j := only(a, layers.LowSensitivity)
		for _, subjects := range [][]Subject{j.Subjects[:1], j.Subjects[1:2]} { // itself, and through its hunter
			j.Subjects = subjects
			_, err := j.Plan(512, 1)
			_, explained := j.ExplainCell(subjects[0], centre)
			for _, err := range []error{err, explained} {
				if err == nil || !strings.Contains(err.Error(), "secret") || !strings.Contains(err.Error(), a.String()) || !strings.Contains(err.Error(), "; hint: ") {
					t.Errorf("%v, %s: %v", a, subjects[0].Profile.ID, err)
				}
			}
		}
	}
	for _, j := range []*Job{only(layers.Staff, layers.HighSensitivity), only(layers.Public, layers.NotSensitive)} {
		if _, err := j.Plan(512, 1); err != nil {
			t.Error(err)
		}
	}
}

// A species that looks for a sensitive one near by is shown as that one is.
func TestMapsAreAsSensitiveAsTheirMostSensitiveSpecies(t *testing.T) {
	j := secretJob(t, layers.Public, layers.HighSensitivity, "abc")
	last := Subject{Profile: &Profile{ID: "last", Sensitivity: layers.LowSensitivity, Requisites: []Requisite{{ID: "food", Weight: 1, Criteria: []Criterion{
		{ID: "prey", Weight: 1, Measure: NearbySpecies{Others: j.Subjects[1:2], Radius: 40}, Rating: identity}}}}}}
	j.Subjects = append(j.Subjects, last)
	p, err := j.Plan(512, 1)
	if err != nil {
		t.Fatal(err)
	}
	for i, want := range []int{25, 25, 1, 25} {
		if got := p.Tasks[i].MapCell; got != want {
			t.Errorf("%s: squares of %d cells, not %d", p.Tasks[i].Species, got, want)
		}
		if j.MayExplain(j.Subjects[i]) != (want == 1) {
			t.Errorf("%s: may be explained: %v", p.Tasks[i].Species, j.MayExplain(j.Subjects[i]))
		}
	}
	if got := last.Profile.MostSensitive(); got != layers.HighSensitivity {
		t.Errorf("most sensitive %v", got)
	}
}

// Real records: a kernel over points is what the profile loses.
func TestProfileForLosesKernelsOfPoints(t *testing.T) {
	p := beiLike()
	kernel := layers.PointKernel{Of: p.ID, Points: []layers.WeightedPoint{{At: landscapeGrid(t).Centre(3, 3), Weight: 1}}, Radius: 200, Half: 1}
	p.Requisites[0].Criteria = append(p.Requisites[0].Criteria, Criterion{ID: "known", Weight: 1, Measure: kernel, Rating: identity})
	if len(p.Validate()) > 0 || len(p.For(layers.Public).Measures()) != 2 {
		t.Errorf("not sensitive: %v, %d measures", p.Validate(), len(p.For(layers.Public).Measures()))
	}
	p.Sensitivity = layers.LowSensitivity
	if q := p.For(layers.Public); q.Hash() == p.Hash() || len(q.Measures()) != 1 || q.Requisites[0].Criteria[0].Weight != 2 {
		t.Errorf("sensitive: %+v", q.Requisites)
	}
	kernel.Of = "another"
	p.Requisites[0].Criteria[1].Measure = kernel
	if errs := p.Validate(); len(errs) != 1 || !strings.Contains(errs[0].Error(), "requisites[0].criteria[1].measure") {
		t.Errorf("records of another species: %v", errs)
	}
}
