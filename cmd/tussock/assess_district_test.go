package main

import (
	"cmp"
	"context"
	"math"
	"path/filepath"
	"slices"
	"testing"

	"tussock/layers"
	"tussock/suitability"
	"tussock/suitability/evidence"
	"tussock/suitability/project"
)

// TestAssessmentsAgainstTheTruth assesses some of the invented district's species
// by its records and holds the claims against what nobody there knows: how well each
// map ranks ground by the chance that a cell is occupied. The known answer is made
// by formulas of its own.
func TestAssessmentsAgainstTheTruth(t *testing.T) {
	folder := averholt(t)
	o, err := project.Open(context.Background(), folder)
	if err != nil {
		t.Fatal(err)
	}
	defer o.Close()
	job, err := newJob(o, layers.Staff, t.TempDir())
	if err != nil {
		t.Fatal(err)
	}
	subjects, err := pick(o.Subjects, []string{"great_crested_newt", "smooth_newt", "sand_lizard", "slow_worm", "adder", "smooth_snake"})
	if err != nil {
		t.Fatal(err)
	}
	s, err := (&app{quiet: true}).assessAll(context.Background(), o, job, subjects, assessOptions{seed: 1})
	if err != nil {
		t.Fatal(err)
	}
	judged, index, truth := 0, []float64{}, []float64{}
	for _, one := range s.list {
		id, p := one.Subject.Profile.ID, &one.Background
		rank := rankAgreement(habitatAndTruth(t, job, one.Subject, filepath.Join(folder, "truth", id+"_psi.tif")))
		t.Logf("%-20s %3d records in %2d blocks of %4.0f m: index %5.2f (%5.2f to %5.2f) %-19s rank agreement with the truth %.2f; visits: %d sites, %d found, TSS %.2f",
			id, p.InRange.Records, p.Occupied, p.Side.Metres, p.InRange.Index.Index, p.InRange.Index.Low, p.InRange.Index.High, p.Claim.Skill, rank, one.Visited.Sites, one.Visited.Found, one.Visited.Best.TSS)
		if p.Claim.Skill == evidence.Better && rank <= 0 {
			t.Errorf("%s is claimed to be better than chance, and agrees with the truth by %.2f", id, rank)
		}
		if p.Judged() {
			judged++
			index, truth = append(index, p.InRange.Index.Index), append(truth, rank)
		}
	}
	t.Logf("over the %d species judged, index and rank agreement agree by %.2f", judged, rankAgreement(index, truth))
	if judged < 4 {
		t.Errorf("only %d species were judged", judged)
	}
}

// habitatAndTruth are both at every tenth cell of every tenth row of the ground
// that a map is judged on.
func habitatAndTruth(t *testing.T, job *suitability.Job, s suitability.Subject, file string) (habitat, truth []float64) {
	t.Helper()
	r, err := layers.OpenRaster(file, 1)
	if err != nil {
		t.Fatal(err)
	}
	defer r.Close()
	g := job.Grid
	psi := make([]float32, g.Cols*g.Rows)
	if err := r.ReadFloat32(0, 0, g.Cols, g.Rows, psi); err != nil {
		t.Fatal(err)
	}
	list, err := job.Habitats(g.Window(), s)
	if err != nil {
		t.Fatal(err)
	}
	h := list[0]
	for row := 0; row < g.Rows; row += 10 {
		for col := 0; col < g.Cols; col += 10 {
			v, p := float64(h.S.Value(col, row)), float64(psi[row*g.Cols+col])
			in := suitability.Standing(h.InRange.Code(col, row))
			if (in == suitability.Documented || in == suitability.Uncertain) && h.Excluded.Code(col, row) == 0 && !math.IsNaN(v) && !math.IsNaN(p) {
				habitat, truth = append(habitat, v), append(truth, p)
			}
		}
	}
	return habitat, truth
}

// rankAgreement is Spearman's correlation, ties given their average rank.
func rankAgreement(a, b []float64) float64 {
	x, y := ranks(a), ranks(b)
	middle := float64(len(a)-1) / 2
	var xx, yy, xy float64
	for i := range x {
		dx, dy := x[i]-middle, y[i]-middle
		xx, yy, xy = xx+dx*dx, yy+dy*dy, xy+dx*dy
	}
	return xy / math.Sqrt(xx*yy)
}

func ranks(values []float64) []float64 {
	order := make([]int, len(values))
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(i, k int) int { return cmp.Compare(values[i], values[k]) })
	list := make([]float64, len(values))
	for from := 0; from < len(order); {
		to := from
		for to < len(order) && values[order[to]] == values[order[from]] {
			to++
		}
		for _, i := range order[from:to] {
			list[i] = float64(from+to-1) / 2
		}
		from = to
	}
	return list
}
