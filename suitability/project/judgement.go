package project

import (
	"errors"
	"strings"
	"time"

	"tussock/suitability"
)

// Judgements are what experts said about the weights of one list of a species'
// profile, checked against the profile.
type Judgements struct {
	File     string
	Species  string
	Of       string // a requisite whose criteria are weighed; "" for the requisites
	Kind     string // pairwise, intervals or direct
	Date     time.Time
	Evidence string
	Experts  []Judge

	Items   []string  // what is weighed, in the order of the profile
	Present []float64 // the profile's weights as they stand

	Minimum bool // the rule takes the worst requisite, whatever requisites weigh
	file    *ProfileFile
	inline  error
}

// Judge is what one expert said. One of the three is filled, in the order of the
// items.
type Judge struct {
	Code, Evidence string
	Pairwise       [][]float64 // how many times as much the row counts as the column
	Intervals      []Interval
	Direct         []float64
}

// Interval is one item's four answers.
type Interval struct {
	Lowest, Highest, Best, Confidence float64 // confidence in per cent
}

// Profile is the file that the weights stand in; an error where they stand in the
// project file itself.
func (j *Judgements) Profile() (*ProfileFile, error) { return j.file, j.inline }

// Change is what accepting weights, in the order of the items, would change.
func (j *Judgements) Change(weights []float64) Weights {
	byID := map[string]float64{}
	for i, id := range j.Items {
		byID[id] = weights[i]
	}
	if j.Of == "" {
		return Weights{Requisites: byID}
	}
	return Weights{Criteria: map[string]map[string]float64{j.Of: byID}}
}

// LoadJudgements reads a project as [Load] does, and a file of judgements on one
// of its species. Every mistake of the file comes back in one [Problems].
func LoadJudgements(project, path string) (*Judgements, error) {
	r, err := checked(project)
	if err != nil {
		return nil, err
	}
	text, err := readText(path)
	var p Problem
	switch {
	case errors.As(err, &p):
		return nil, Problems{p}
	case err != nil:
		return nil, err
	}
	return r.judgements(path, text)
}

// judgements decodes a file of judgements and holds it against the project.
func (r *reading) judgements(path, text string) (*Judgements, error) {
	own, raw := newReport(), judgements{}
	d := readDocument(path, text, own)
	if d == nil {
		return nil, own.err()
	}
	d.decode(d.root, valueOf(&raw), "", rule{})
	j := &Judgements{File: path, Species: raw.Species, Kind: raw.Kind, Date: raw.Date.Time, Evidence: raw.Evidence}
	if raw.doc != nil {
		raw.check(r, j)
	}
	return j, own.err()
}

// check holds judgements against the profile and fills in what they say.
func (raw *judgements) check(r *reading, j *Judgements) {
	p := raw.species(r)
	if p == nil || !raw.weighed(p, j) {
		return
	}
	j.file, j.inline = r.fileOf(p)
	codes := map[string]bool{}
	for i := range raw.Experts {
		e := &raw.Experts[i]
		if e.doc == nil {
			continue
		}
		if lower := strings.ToLower(e.Code); lower != "" && codes[lower] {
			e.doc.problem(join(e.path, "code"), "give every expert a code of their own", "%q has spoken already", short(e.Code))
		} else {
			codes[lower] = true
		}
		j.Experts = append(j.Experts, raw.judge(e, j))
	}
}

func (raw *judgements) species(r *reading) *profile {
	if raw.Species == "" {
		return nil
	}
	p, err := r.profileNamed(raw.Species)
	var problems Problems
	if errors.As(err, &problems) {
		raw.doc.problem("species", problems[0].Hint, "%s", problems[0].Message)
		return nil
	}
	return p
}

// weighed finds the list that is judged.
func (raw *judgements) weighed(p *profile, j *Judgements) bool {
	add := func(id string, weight *float64) {
		j.Items, j.Present = append(j.Items, id), append(j.Present, weightOf(weight))
	}
	requisites := []string{"requisites"}
	for _, q := range p.Requisites {
		requisites = append(requisites, q.ID)
		if q.ID != raw.Of {
			continue
		}
		j.Of = q.ID
		for _, c := range q.Criteria {
			add(c.ID, c.Weight)
		}
	}
	switch {
	case raw.Of == "":
		return false
	case raw.Of == "requisites" && j.Of == "" && p.isOrdered():
		raw.doc.problem("of", "weigh the criteria of a requisite, or change the profile's `rule`", "the rule of %s weighs requisites by their rank, not by their name", p.ID)
		return false
	case raw.Of == "requisites" && j.Of == "":
		for _, q := range p.Requisites {
			add(q.ID, q.Weight)
		}
		j.Minimum = p.Rule.Kind == suitability.Minimum
	case j.Of == "":
		raw.doc.problem("of", closest(raw.Of, requisites), "%s has no requisite %q", p.ID, short(raw.Of))
		return false
	}
	if len(j.Items) < 2 {
		raw.doc.problem("of", "weigh a list of two or more", "there is nothing to weigh: the list has one item, %q", j.Items[0])
		return false
	}
	return true
}

// place is where an item stands in the list; -1, with the mistake reported,
// where it does not.
func (j *Judgements) place(a at, path, id string) int {
	for i, known := range j.Items {
		if known == id {
			return i
		}
	}
	a.doc.keyProblem(path, closest(id, j.Items), "%q is not one of the items that are weighed", short(id))
	return -1
}
