package evidence

import (
	"context"
	"encoding/json"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"sync/atomic"
	"testing"

	"github.com/paulmach/orb"

	"tussock/layers"
	"tussock/suitability"
)

// plotJob is the forest plot of testdata/bei, drawn finer so that it takes
// several blocks, with half of it documented.
func plotJob(t testing.TB, audience layers.Audience, sensitivity layers.Sensitivity) *suitability.Job {
	t.Helper()
	const bei = "../../testdata/bei/"
	r, err := layers.OpenRaster(bei+"elev.tif", 1)
	if err != nil {
		t.Fatal(err)
	}
	info := r.Info()
	r.Close()
	grid := layers.Grid{CRS: info.CRS, West: info.Affine[0], North: info.Affine[3], Cell: 1.5, Cols: 640, Rows: 330}
	var opened []*layers.Layer
	for _, name := range []string{"elev", "grad"} {
		l, err := layers.OpenLayer(layers.LayerSpec{Name: name, Kind: layers.Quantity, Source: bei + name + ".tif"}, grid)
		if err != nil {
			t.Fatal(err)
		}
		opened = append(opened, l)
	}
	set := layers.NewSet(grid, opened...)
	t.Cleanup(func() { set.Close() })
	box := orb.Bound{Min: orb.Point{grid.West + 200, grid.North - 600}, Max: orb.Point{grid.West + 2000, grid.North + 100}}
	documented, err := suitability.NewRangeMap([]suitability.RangePolygon{{Status: suitability.StatusDocumented, Geometry: orb.MultiPolygon{box.ToPolygon()}}}, grid, 0)
	if err != nil {
		t.Fatal(err)
	}
	low := 121.0
	p := &suitability.Profile{
		ID: "tree", Name: "Tree", Scientific: "Arbor nusquam", Source: "assumption", Floor: .01, Sensitivity: sensitivity,
		Requisites: []suitability.Requisite{
			{ID: "height", Weight: .6, Criteria: []suitability.Criterion{{ID: "elevation", Weight: 1, Measure: layers.Value{Layer: "elev"}, Rating: suitability.Curve{{X: 130, Y: .2}, {X: 140, Y: 1}, {X: 150, Y: .7}, {X: 156, Y: .1}}}}},
			{ID: "slope", Weight: .4, Criteria: []suitability.Criterion{{ID: "gradient", Weight: 1, Measure: layers.Value{Layer: "grad"}, Rating: suitability.Curve{{X: 0, Y: 0}, {X: .1, Y: .8}, {X: .25, Y: 1}}}}},
		},
		Exclusions: []suitability.Exclusion{{ID: "low", Measure: layers.Value{Layer: "elev"}, Below: &low}},
	}
	p.Facts.Movement.Far = 90
	return &suitability.Job{
		Project: "Forest plot", Grid: grid, Layers: set, Inputs: map[string]string{"elev": "e", "grad": "g"}, Subjects: []suitability.Subject{{Profile: p, Range: documented}},
		Audience: audience, Classes: suitability.DefaultClasses(), Counted: 3, Date: "2026-06-01", Folder: t.TempDir(),
	}
}

func planOf(t testing.TB, j *suitability.Job, block int) *suitability.Plan {
	t.Helper()
	p, err := j.Plan(block, 1)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func makeDoubt(t testing.TB, p *suitability.Plan, d Doubt, workers int) *suitability.CompanionEntry {
	t.Helper()
	q, err := NewDoubt(p, "tree", d, DoubtLook{})
	if err != nil {
		t.Fatal(err)
	}
	return publishCompanion(t, q, workers)
}

func publishCompanion(t testing.TB, q *suitability.CompanionPlan, workers int) *suitability.CompanionEntry {
	t.Helper()
	if err := q.Run(context.Background(), suitability.RunOptions{Workers: workers}); err != nil {
		t.Fatal(err)
	}
	e, err := q.Publish()
	if err != nil {
		t.Fatal(err)
	}
	return e
}

func doubtFactsOf(t testing.TB, e *suitability.CompanionEntry) DoubtFacts {
	t.Helper()
	var f DoubtFacts
	if err := json.Unmarshal(e.Facts, &f); err != nil {
		t.Fatal(err)
	}
	return f
}

func readRaster(t testing.TB, j *suitability.Job, file string) []uint8 {
	t.Helper()
	r, err := layers.OpenRaster(filepath.Join(j.Folder, filepath.FromSlash(file)), 1)
	if err != nil {
		t.Fatal(err)
	}
	cells := make([]uint8, j.Grid.Window().Cells())
	if err := errors.Join(r.ReadUint8(0, 0, j.Grid.Cols, j.Grid.Rows, cells), r.Close()); err != nil {
		t.Fatal(err)
	}
	return cells
}

// allFiles are the bytes below a folder, by name.
func allFiles(t testing.TB, folder string) map[string]string {
	t.Helper()
	files := map[string]string{}
	err := filepath.WalkDir(folder, func(path string, d os.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		raw, err := os.ReadFile(path)
		files[strings.TrimPrefix(path, folder)] = string(raw)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return files
}

func sameFiles(t testing.TB, got, want map[string]string) {
	t.Helper()
	if len(got) != len(want) || len(got) == 0 {
		t.Fatalf("%d files, not %d", len(got), len(want))
	}
	for name, bytes := range want {
		if got[name] != bytes {
			t.Errorf("%s differs", name)
		}
	}
}

// The same bytes for any block size, number of workers, and however often a run
// was stopped; averaged maps too, whose squares lie across blocks.
func TestDoubtHasTheSameBytesHoweverItIsMade(t *testing.T) {
	d := DefaultDoubt(12, 3)
	for _, audience := range []layers.Audience{layers.Staff, layers.Public} {
		one, cut := plotJob(t, audience, layers.HighSensitivity), plotJob(t, audience, layers.HighSensitivity)
		makeDoubt(t, planOf(t, one, 1024), d, 1)
		q, err := NewDoubt(planOf(t, cut, 512), "tree", d, DoubtLook{})
		if err != nil {
			t.Fatal(err)
		}
		ctx, stop := context.WithCancel(context.Background())
		var done atomic.Int32
		err = q.Run(ctx, suitability.RunOptions{Workers: 1, Progress: func(suitability.Progress) {
			if done.Add(1) == 1 {
				stop()
			}
		}})
		if !errors.Is(err, context.Canceled) || done.Load() != 1 {
			t.Fatalf("a stopped run says %v after %d blocks", err, done.Load())
		}
		if _, err := q.Publish(); !errors.Is(err, suitability.ErrIncomplete) {
			t.Errorf("half a run was published: %v", err)
		}
		publishCompanion(t, q, 2)
		sameFiles(t, allFiles(t, cut.Folder), allFiles(t, one.Folder))
		again, err := NewDoubt(planOf(t, cut, 512), "tree", d, DoubtLook{})
		if err != nil || !again.Task.Done {
			t.Errorf("it is not known to be there: %v, %v", again, err)
		}
	}
}

// mapTree maps the job's species, and hands back its suitability.
func mapTree(t testing.TB, j *suitability.Job) []uint8 {
	t.Helper()
	p := planOf(t, j, 512)
	if err := p.Run(context.Background(), 0, suitability.RunOptions{Workers: 2}); err != nil {
		t.Fatal(err)
	}
	c, err := p.Reduce(context.Background(), suitability.RunOptions{Workers: 2})
	if err != nil {
		t.Fatal(err)
	}
	return readRaster(t, j, c.Species[0].Files["suitability"])
}

// Where nothing varies the median is the map, cell by cell, averaged or not; the
// stability is 1, and nothing moves. What the map does not show has no doubt.
func TestDoubtWithoutDoubtIsTheMap(t *testing.T) {
	for _, audience := range []layers.Audience{layers.Staff, layers.Public} {
		j := plotJob(t, audience, layers.HighSensitivity)
		shown := mapTree(t, j)
		d := DefaultDoubt(10, 1)
		d.Concentration, d.KnotX, d.KnotY, d.Rules = inf, 0, 0, nil
		e := makeDoubt(t, planOf(t, j, 512), d, 2)
		median, stability := readRaster(t, j, e.Files["median"]), readRaster(t, j, e.Files["stability"])
		known := 0
		for i, b := range median {
			switch {
			case b != suitability.ByteNodata && (b != shown[i] || stability[i] != 200):
				t.Fatalf("%v, cell %d: median %d, stability %d, the map has %d", audience, i, b, stability[i], shown[i])
			case b == suitability.ByteNodata && shown[i] != 0 && shown[i] != suitability.ByteNodata:
				t.Fatalf("%v, cell %d: no median, the map has %d", audience, i, shown[i])
			case b != suitability.ByteNodata:
				known++
			}
		}
		f := doubtFactsOf(t, e)
		if uint64(known) != f.Cells || known == 0 || *f.Stability != 1 || *f.Source["all"].Moved != 0 || f.Interaction != nil || f.Source["rule"].Varied {
			t.Errorf("%v: %d cells; facts %+v", audience, known, f)
		}
	}
}

// The facts of a whole map against its rasters.
func TestDoubtFactsAgainstRasters(t *testing.T) {
	j := plotJob(t, layers.Staff, layers.NotSensitive)
	e := makeDoubt(t, planOf(t, j, 512), DefaultDoubt(40, 9), 2)
	f := doubtFactsOf(t, e)
	var cells, sure, dominant uint64
	stable := 0.0
	source := readRaster(t, j, e.Files["source"])
	p10, median, p90 := readRaster(t, j, e.Files["p10"]), readRaster(t, j, e.Files["median"]), readRaster(t, j, e.Files["p90"])
	for i, s := range readRaster(t, j, e.Files["stability"]) {
		if s == suitability.ByteNodata {
			continue
		}
		cells++
		stable += suitability.DecodeByte(s)
		if s == 200 {
			sure++
		}
		if source[i] == uint8(doubtRule) {
			dominant++
		}
		if p10[i] > median[i] || median[i] > p90[i] {
			t.Fatalf("cell %d: %d, %d, %d", i, p10[i], median[i], p90[i])
		}
	}
	if cells != f.Cells || !within(stable/float64(cells), *f.Stability, .0025) || !within(float64(sure)/float64(cells), *f.Sure, 1e-9) || !within(float64(dominant)/float64(cells), *f.Dominant["rule"], 1e-9) {
		t.Errorf("%d cells, stability %g, sure %d, rule %d; facts %+v", cells, stable/float64(cells), sure, dominant, f)
	}
	sum := 0.0
	for _, name := range []string{"weights", "curves", "rule"} {
		sum += *f.Source[name].Share
	}
	shares := 0.0
	for _, c := range f.Changes {
		shares += c.Share
	}
	if !within(sum, 1, 1e-9) || !within(shares, 1, 1e-9) {
		t.Errorf("variance shares sum to %g, changes to %g", sum, shares)
	}
}

// Below staff a square of the map is all that is seen, and a withheld species has
// no doubt at all.
func TestDoubtShowsNothingFinerThanTheMap(t *testing.T) {
	j := plotJob(t, layers.Public, layers.HighSensitivity)
	p := planOf(t, j, 512)
	_, task, err := p.Planned("tree")
	if err != nil || task.MapCell != 167 { // 250 m in cells of 1.5 m, whole ones
		t.Fatalf("squares of %d cells, %v", task.MapCell, err)
	}
	e := makeDoubt(t, p, DefaultDoubt(20, 2), 2)
	q, err := NewNovelty(p, "tree", nil, NoveltyLook{})
	if err != nil {
		t.Fatal(err)
	}
	n := publishCompanion(t, q, 2)
	for _, files := range []map[string]string{e.Files, n.Files} {
		for name, file := range files {
			checkSquares(t, name, j.Grid, readRaster(t, j, file), task.MapCell)
		}
	}
	hidden := plotJob(t, layers.Public, layers.ExtremeSensitivity)
	hidden.Subjects = append(hidden.Subjects, plotJob(t, layers.Public, layers.NotSensitive).Subjects...)
	hidden.Subjects[0].Profile.ID = "hidden"
	both := planOf(t, hidden, 512)
	if _, err := NewDoubt(both, "hidden", DefaultDoubt(20, 2), DoubtLook{}); !errors.Is(err, suitability.ErrWithheld) {
		t.Errorf("a withheld species: %v", err)
	}
	if _, err := NewNovelty(both, "hidden", nil, NoveltyLook{}); !errors.Is(err, suitability.ErrWithheld) {
		t.Errorf("a withheld species: %v", err)
	}
	if _, err := NewDoubt(both, "shrub", DefaultDoubt(20, 2), DoubtLook{}); !errors.Is(err, suitability.ErrNoSpecies) {
		t.Errorf("no such species: %v", err)
	}
}

func checkSquares(t *testing.T, name string, g layers.Grid, cells []uint8, side int) {
	t.Helper()
	for row := range g.Rows {
		for col := range g.Cols {
			if b := cells[row*g.Cols+col]; b != cells[row/side*side*g.Cols+col/side*side] {
				t.Fatalf("%s: column %d, row %d differs from its square", name, col, row)
			}
		}
	}
}
