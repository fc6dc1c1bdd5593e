package project

import (
	"math"
	"strings"
)

// judge reads what one expert said, in the way that the kind names.
func (raw *judgements) judge(e *judgeRaw, j *Judgements) Judge {
	judge := Judge{Code: e.Code, Evidence: e.Evidence}
	for _, way := range []string{"pairwise", "intervals", "direct"} {
		switch {
		case way == raw.Kind && !e.has(way):
			e.doc.need(e.path, way, "one entry per item; see `tussock weigh --help`", "`%s` is missing", way)
		case way != raw.Kind && raw.Kind != "" && e.has(way):
			e.doc.keyProblem(join(e.path, way), "write it as "+raw.Kind+", or change `kind`", "the kind is %s, and this is %s", raw.Kind, way)
		}
	}
	switch raw.Kind {
	case "pairwise":
		judge.Pairwise = e.matrix(j)
	case "intervals":
		judge.Intervals = e.intervals(j)
	case "direct":
		judge.Direct = e.direct(j)
	}
	return judge
}

// mostCompared is as many items as the random index is known for.
const mostCompared = 15

// rounding is how far a pair that was said both ways round may be from agreeing.
const rounding = 0.02

// matrix fills in a matrix of comparisons from pairs that were each said once,
// or twice and in agreement.
func (e *judgeRaw) matrix(j *Judgements) [][]float64 {
	path := join(e.path, "pairwise")
	if len(j.Items) > mostCompared {
		e.doc.problem(path, "group them, or ask for intervals", "%d items are too many to be compared in pairs: at most %d can be", len(j.Items), mostCompared)
		return nil
	}
	matrix := make([][]float64, len(j.Items))
	for i := range matrix {
		matrix[i] = make([]float64, len(j.Items))
		matrix[i][i] = 1
	}
	for _, row := range e.Pairwise {
		i := j.place(e.at, join(path, row.Name), row.Name)
		for _, cell := range row.Value {
			e.compare(j, matrix, i, join(join(path, row.Name), cell.Name), cell)
		}
	}
	e.reportMissing(j, path, func(i int) (missing []string) {
		for k := i + 1; k < len(matrix); k++ {
			if matrix[i][k] == 0 {
				missing = append(missing, j.Items[i]+" against "+j.Items[k])
			}
		}
		return missing
	})
	return matrix
}

// compare enters one comparison.
func (e *judgeRaw) compare(j *Judgements, matrix [][]float64, i int, path string, cell named[times]) {
	k := j.place(e.at, path, cell.Name)
	said := float64(cell.Value)
	switch {
	case i < 0 || k < 0 || said == 0: // which was reported
	case i == k:
		if said != 1 {
			e.doc.problem(path, "leave it out", "an item counts once as much as itself")
		}
	case matrix[i][k] != 0 && math.Abs(said/matrix[i][k]-1) > rounding:
		e.doc.problem(path, "keep one of the two", "%s against %s was said before, as %.3g times; this makes it %.3g", j.Items[i], j.Items[k], matrix[i][k], said)
	case matrix[i][k] == 0:
		matrix[i][k], matrix[k][i] = said, 1/said
	}
}

func (e *judgeRaw) intervals(j *Judgements) []Interval {
	list, said := make([]Interval, len(j.Items)), make([]bool, len(j.Items))
	path := join(e.path, "intervals")
	for _, row := range e.Intervals {
		i := j.place(e.at, join(path, row.Name), row.Name)
		if i < 0 {
			continue
		}
		v := row.Value
		list[i], said[i] = Interval{v.Lowest, v.Highest, v.Best, v.Confidence}, true
		if v.doc != nil && !v.doc.spoken(v.path) && (v.Lowest > v.Best || v.Best > v.Highest) {
			v.doc.problem(v.path, "the best guess lies between the other two", "lowest %g, best %g, highest %g do not rise", v.Lowest, v.Best, v.Highest)
		}
	}
	e.needAll(j, path, said, func() float64 {
		sum := 0.0
		for _, v := range list {
			sum += v.Best
		}
		return sum
	})
	return list
}

func (e *judgeRaw) direct(j *Judgements) []float64 {
	list, said := make([]float64, len(j.Items)), make([]bool, len(j.Items))
	path := join(e.path, "direct")
	for _, row := range e.Direct {
		if i := j.place(e.at, join(path, row.Name), row.Name); i >= 0 {
			list[i], said[i] = row.Value, true
		}
	}
	e.needAll(j, path, said, func() float64 {
		sum := 0.0
		for _, v := range list {
			sum += v
		}
		return sum
	})
	return list
}

// needAll asks for every item, and for a sum above 0.
func (e *judgeRaw) needAll(j *Judgements, path string, said []bool, sum func() float64) {
	complete := e.reportMissing(j, path, func(i int) []string {
		if said[i] {
			return nil
		}
		return []string{j.Items[i]}
	})
	if complete && !(sum() > 0) {
		e.doc.problem(path, "something must count", "every weight is 0")
	}
}

// reportMissing reports what an expert did not speak of, unless something else
// is wrong there; it tells whether the answers are complete.
func (e *judgeRaw) reportMissing(j *Judgements, path string, missing func(item int) []string) bool {
	if e.doc.spoken(path) || !e.has(strings.TrimPrefix(path, e.path+".")) {
		return false
	}
	var all []string
	for i := range j.Items {
		all = append(all, missing(i)...)
	}
	if len(all) > 0 {
		e.doc.problem(path, "every expert judges every item; add "+strings.Join(all, ", "), "not everything was judged")
	}
	return len(all) == 0
}
