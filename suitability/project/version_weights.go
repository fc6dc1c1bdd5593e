package project

import (
	"fmt"
	"math"
	"slices"
)

// Weights are new weights for a profile, by id. A list that is named has all its
// items; lists that are not named stay as they are.
type Weights struct {
	Requisites map[string]float64            // nil leaves them alone
	Criteria   map[string]map[string]float64 // by requisite
}

// Weights are the profile's own, as they stand.
func (f *ProfileFile) Weights() Weights {
	w := Weights{Requisites: map[string]float64{}, Criteria: map[string]map[string]float64{}}
	for _, q := range f.model.Requisites {
		w.Requisites[q.ID] = q.Weight
		w.Criteria[q.ID] = map[string]float64{}
		for _, c := range q.Criteria {
			w.Criteria[q.ID][c.ID] = c.Weight
		}
	}
	return w
}

// weightEdit is one number of the text that is to become another.
type weightEdit struct {
	path   []any // keys and places of list items
	old    float64
	weight float64
}

// edits lists every weight of the lists that are named, rounded.
func (f *ProfileFile) edits(w Weights) ([]weightEdit, error) {
	edits, err := f.requisiteEdits(w.Requisites)
	if err != nil {
		return nil, err
	}
	known := map[string]bool{}
	for i, q := range f.own.Requisites {
		known[q.ID] = true
		wanted, named := w.Criteria[q.ID]
		if !named {
			continue
		}
		list := weightList{}
		for j, c := range q.Criteria {
			list.add(c.ID, weightOf(c.Weight), "requisites", i, "criteria", j, "weight")
		}
		more, err := list.edits("the criteria of "+q.ID, wanted)
		if err != nil {
			return nil, err
		}
		edits = append(edits, more...)
	}
	for id := range w.Criteria {
		if !known[id] {
			return nil, fmt.Errorf("project: %s has no requisite %q", f.ID(), id)
		}
	}
	return edits, nil
}

func (f *ProfileFile) requisiteEdits(wanted map[string]float64) ([]weightEdit, error) {
	switch {
	case wanted == nil:
		return nil, nil
	case f.own.isOrdered():
		return nil, f.refuse("rule", "weigh the criteria of a requisite, or change `rule`", "the rule weighs requisites by their rank, not by their name")
	}
	list := weightList{}
	for i, q := range f.own.Requisites {
		list.add(q.ID, weightOf(q.Weight), "requisites", i, "weight")
	}
	return list.edits("the requisites", wanted)
}

// weightList is the weights of one list of a profile that sum to 1.
type weightList struct {
	ids   []string
	items []weightEdit
}

func (l *weightList) add(id string, old float64, path ...any) {
	l.ids, l.items = append(l.ids, id), append(l.items, weightEdit{path: path, old: old})
}

// edits puts the wanted weights to their places.
func (l *weightList) edits(what string, wanted map[string]float64) ([]weightEdit, error) {
	weights := make([]float64, len(l.ids))
	for i, id := range l.ids {
		weight, ok := wanted[id]
		if !ok {
			return nil, fmt.Errorf("project: of %s, %q is given no weight", what, id)
		}
		weights[i] = weight
	}
	for id := range wanted {
		if !slices.Contains(l.ids, id) {
			return nil, fmt.Errorf("project: there is no %q among %s", id, what)
		}
	}
	rounded, err := RoundWeights(weights)
	if err != nil {
		return nil, fmt.Errorf("project: %s: %w", what, err)
	}
	for i := range l.items {
		l.items[i].weight = rounded[i]
	}
	return l.items, nil
}

// RoundWeights rounds weights that sum to 1 within 1e-6 so that, written as
// decimal numbers, they sum to 1 exactly: each is cut to three decimals, and the
// thousandths that are left go to those that lost most (largest remainders).
// There are more decimals, six at most, where a weight above 0 would vanish.
func RoundWeights(weights []float64) ([]float64, error) {
	sum := 0.0
	for _, w := range weights {
		if !(w >= 0 && w <= 1+1e-6) {
			return nil, fmt.Errorf("%g is not a weight from 0 to 1", w)
		}
		sum += w
	}
	if !(math.Abs(sum-1) <= 1e-6) {
		return nil, fmt.Errorf("the weights sum to %.6g, not 1", sum)
	}
	for decimals := 3; ; decimals++ {
		rounded, vanished := roundTo(weights, sum, math.Pow10(decimals))
		if !vanished || decimals == 6 {
			return rounded, nil
		}
	}
}

// roundTo rounds to whole parts of 1 by largest remainders; the first of equal
// remainders goes first.
func roundTo(weights []float64, sum, parts float64) (rounded []float64, vanished bool) {
	whole, left := make([]float64, len(weights)), parts
	order := make([]int, len(weights))
	for i, w := range weights {
		// What is a whole number but for the last bits of a sum counts as one.
		whole[i] = math.Floor(w/sum*parts + 1e-9)
		left -= whole[i]
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int {
		lossA, lossB := weights[a]/sum*parts-whole[a], weights[b]/sum*parts-whole[b]
		switch {
		case lossA > lossB+1e-9:
			return -1
		case lossB > lossA+1e-9:
			return 1
		}
		return 0
	})
	for k := 0; k < int(left); k++ {
		whole[order[k%len(order)]]++
	}
	for i := range whole {
		vanished = vanished || weights[i] > 0 && whole[i] == 0
		whole[i] /= parts
	}
	return whole, vanished
}
