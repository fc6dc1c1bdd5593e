package suitability

import "math"

// combine leaves H for cells from..to in total.
func (e *Evaluator) combine(measures []Row, from, to int) {
	n := to - from
	switch {
	case e.missing.Kind == MissingLeaveOut:
		e.combineKnown(measures, from, to)
	case e.rule.Kind == Arithmetic:
		clear(e.total[:n])
		e.groups[0].addTo(e.total[:n], measures, from, to)
	case e.rule.Kind == Geometric:
		e.combineLogs(measures, from, to)
	case e.rule.Kind == Minimum:
		e.combineLeast(measures, from, to)
	default:
		e.combineEach(measures, from, to)
	}
}

func (g *group) addTo(dst []float64, measures []Row, from, to int) {
	for i := range g.terms {
		g.terms[i].add(dst, measures, from, to)
	}
}

// combineLogs is 2^(Σ W·log2 R).
func (e *Evaluator) combineLogs(measures []Row, from, to int) {
	total, rated := e.total[:to-from], e.rated[:to-from]
	clear(total)
	for g := range e.groups {
		group := &e.groups[g]
		if group.logs != nil {
			addTable(total, measures[group.terms[0].input].Codes[from:to], group.logs)
			continue
		}
		clear(rated)
		group.addTo(rated, measures, from, to)
		addLogs(total, rated, group.weight)
	}
	raise(total)
}

func (e *Evaluator) combineLeast(measures []Row, from, to int) {
	total, rated := e.total[:to-from], e.rated[:to-from]
	for i := range total {
		total[i] = math.Inf(1)
	}
	for g := range e.groups {
		clear(rated)
		e.groups[g].addTo(rated, measures, from, to)
		for i, r := range rated {
			total[i] = min(total[i], r) // once unknown, unknown
		}
	}
}

// combineEach gathers a cell's requisites and combines them as the reference
// does.
func (e *Evaluator) combineEach(measures []Row, from, to int) {
	n := to - from
	for g := range e.groups {
		clear(e.each[g][:n])
		e.groups[g].addTo(e.each[g][:n], measures, from, to)
	}
	for i := range e.total[:n] {
		e.total[i] = e.combineCell(i, false)
	}
}

// combineCell combines the requisites of one cell, those that are unknown left
// out or not.
func (e *Evaluator) combineCell(i int, leaveOut bool) float64 {
	R, W := e.R[:0], e.W[:0]
	for g := range e.groups {
		r := e.each[g][i]
		if r == r {
			R, W = append(R, r), append(W, e.groups[g].weight)
		} else if !leaveOut {
			return r
		}
	}
	return e.rule.combine(R, W)
}

// combineKnown leaves unknown criteria out: each requisite is the sum of what
// is known over the weights known.
func (e *Evaluator) combineKnown(measures []Row, from, to int) {
	n := to - from
	for g := range e.groups {
		sum, known, rated := e.each[g][:n], e.known[:n], e.rated[:n]
		clear(sum)
		clear(known)
		for t := range e.groups[g].terms {
			term := &e.groups[g].terms[t]
			clear(rated)
			term.add(rated, measures, from, to)
			for i, r := range rated {
				if r == r {
					sum[i] += float64(term.weight * r)
					known[i] += term.weight
				}
			}
		}
		for i := range sum {
			sum[i] /= known[i] // 0/0, nothing known, is NaN
		}
	}
	e.combineRequisites(n)
}

// combineRequisites combines the requisites that are known.
func (e *Evaluator) combineRequisites(n int) {
	total := e.total[:n]
	if e.rule.Kind != Geometric {
		for i := range total {
			total[i] = e.combineCell(i, true)
		}
		return
	}
	weight := e.weight[:n]
	clear(total)
	clear(weight)
	for g := range e.groups {
		w := e.groups[g].weight
		each, logs := e.each[g][:n], e.rated[:n]
		clear(logs)
		addLogs(logs, each, w)
		for i, l := range logs {
			if l == l {
				total[i] += l
				weight[i] += w
			}
		}
	}
	for i := range total {
		total[i] /= weight[i] // 0/0, nothing known, is NaN
	}
	raise(total)
}
