package suitability

import (
	"context"
	"crypto/sha256"
	"fmt"
	"io/fs"
	"maps"
	"math"
	"os"
	"path/filepath"
	"slices"
	"sync"
	"testing"

	"tussock/layers"
)

// publishedFiles hashes every file that stands in a job's folder, by its name.
func publishedFiles(t testing.TB, j *Job) map[string]string {
	t.Helper()
	files := map[string]string{}
	err := filepath.WalkDir(j.Folder, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		bytes, err := os.ReadFile(path)
		files[j.relative(path)] = fmt.Sprintf("%x", sha256.Sum256(bytes))
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return files
}

func sameFiles(t testing.TB, what string, got, want map[string]string) {
	t.Helper()
	for _, name := range slices.Sorted(maps.Keys(want)) {
		if got[name] != want[name] {
			t.Errorf("%s: %s differs or is missing", what, name)
		}
	}
	for name := range got {
		if want[name] == "" {
			t.Errorf("%s: %s is there and should not be", what, name)
		}
	}
}

// cut is one way to do the same work.
type cut struct {
	block, workers, shards int
	twice                  bool // one shard run twice at once
}

func (c cut) run(t testing.TB, j *Job) {
	t.Helper()
	p, err := j.Plan(c.block, c.shards)
	if err != nil {
		t.Fatal(err)
	}
	ctx, o := context.Background(), RunOptions{Workers: c.workers}
	for i := range c.shards {
		shard := (3*i + c.shards/2) % c.shards // out of order, as 3 does not divide 7
		if c.shards == 3 {
			shard = 2 - i
		}
		var again sync.WaitGroup
		if c.twice && i == 0 {
			again.Go(func() {
				if err := p.Run(ctx, shard, o); err != nil {
					t.Error(err)
				}
			})
		}
		if err := p.Run(ctx, shard, o); err != nil {
			t.Fatal(err)
		}
		again.Wait()
	}
	if _, err := p.Reduce(ctx, o); err != nil {
		t.Fatal(err)
	}
}

func TestSameBytesHoweverTheWorkIsCut(t *testing.T) {
	t.Parallel()
	// As wide as it takes for blocks of 1024 to meet, as high as it takes for
	// blocks of 512, up to the rim where the heights end.
	grid := landscapeGrid(t)
	grid.West, grid.Cols, grid.Rows = grid.West+2500, 1060, 560
	for _, audience := range []layers.Audience{layers.Staff, layers.Public} {
		values := Bytes
		if audience == layers.Staff {
			values = Floats
		}
		var want map[string]string
		for _, c := range []cut{{2048, 1, 1, false}, {1024, 2, 3, false}, {512, 5, 7, true}} {
			if c.shards == 3 && audience == layers.Public {
				continue // to save time
			}
			j := richJob(t, grid, values, audience)
			c.run(t, j)
			got := publishedFiles(t, j)
			if want == nil {
				want = got
				mustVary(t, j)
			}
			sameFiles(t, fmt.Sprintf("%v, %+v", audience, c), got, want)
		}
	}
}

// A chain of three species, two hunters with the same prey, and an audience that
// gets one of them in squares. Discs reach over the borders of blocks twice.
func TestSameBytesOfChainsHoweverTheWorkIsCut(t *testing.T) {
	t.Parallel()
	for _, audience := range []layers.Audience{layers.Staff, layers.Public} {
		var want map[string]string
		for _, c := range []cut{{2048, 1, 1, false}, {1024, 1, 3, false}, {512, 3, 5, true}} {
			if c.shards == 3 && audience == layers.Public {
				continue // to save time
			}
			j := chainJob(t, audience)
			c.run(t, j)
			got := publishedFiles(t, j)
			if want == nil {
				want = got
				mustVary(t, j)
				explainedChain(t, j)
			}
			sameFiles(t, fmt.Sprintf("%v, %+v", audience, c), got, want)
		}
	}
}

// chainJob maps the last of a chain first.
func chainJob(t testing.TB, audience layers.Audience) *Job {
	grid := landscapeGrid(t)
	grid.West, grid.Cols, grid.Rows = grid.West+1100, 1040, 530
	j := richJob(t, grid, Floats, audience)
	heathling, adder := j.Subjects[0], j.Subjects[2]
	hunter := func(id string, radius float64, others ...Subject) Subject {
		return Subject{Range: everyStatus(t, grid, 200), Profile: &Profile{ID: id, Floor: DefaultFloor, Missing: Missing{Kind: MissingLeaveOut}, Requisites: []Requisite{
			{ID: "food", Weight: 2, Criteria: []Criterion{{ID: "prey", Weight: 1, Measure: NearbySpecies{Others: others, Radius: radius}, Rating: Curve{{0.2, 0.1}, {0.8, 1}}}}},
			{ID: "ground", Weight: 1, Criteria: []Criterion{{ID: "height", Weight: 1, Measure: layers.Mean{Layer: "elev", Radius: 80}, Rating: Curve{{0, 0.1}, {300, 1}}}}},
		}}}
	}
	first, second := hunter("kestrel", 170, heathling), hunter("stoat", 90, heathling, adder)
	j.Subjects = []Subject{hunter("eagle", 260, first, heathling), second, first, heathling}
	return j
}

// explainedChain holds the published cells of a chain against the reference.
func explainedChain(t testing.TB, j *Job) {
	t.Helper()
	c, err := ReadCatalogue(j.Folder)
	if err != nil {
		t.Fatal(err)
	}
	known := 0
	for i, s := range j.Subjects {
		if !j.MayExplain(s) {
			continue
		}
		cells := floatsOf(t, c.path(j, i, SuitabilityPlane))
		for n := range 8 {
			col, row := (n*377+i*91)%j.Grid.Cols, (n*263+i*57)%j.Grid.Rows
			x, err := j.ExplainCell(s, j.Grid.Centre(col, row))
			if err != nil {
				t.Fatal(err)
			}
			got := float64(cells[row*j.Grid.Cols+col])
			if got == got {
				known++
			}
			if !(math.Abs(got-x.Shown) <= 1e-6) && (got == got || x.Shown == x.Shown) {
				t.Errorf("%s, cell %d %d: published %.8f, explained %.8f", s.Profile.ID, col, row, got, x.Shown)
			}
		}
	}
	if known < 8 {
		t.Errorf("only %d cells to compare", known)
	}
}

// mustVary keeps the comparison honest: a surface of one value has the same
// bytes whatever is wrong.
func mustVary(t testing.TB, j *Job) {
	t.Helper()
	c, err := ReadCatalogue(j.Folder)
	if err != nil {
		t.Fatal(err)
	}
	for i, s := range c.Species {
		for _, plane := range []Plane{SuitabilityPlane, StandingPlane} {
			seen := map[float32]bool{}
			for _, v := range floatsOf(t, c.path(j, i, plane)) {
				if seen[v] = true; len(seen) == 3 {
					break
				}
			}
			if len(seen) < 3 && !(s.ID == "moth" || s.ID == "orchid") {
				t.Errorf("%s, %v: only %d values", s.ID, plane, len(seen))
			}
		}
	}
}

// The public map of a highly sensitive species against means taken here, in
// float64, of the exact map that staff see, on an area widened to whole squares.
func TestMapCellsAgainstMeansOfTheExactMap(t *testing.T) {
	t.Parallel()
	const n = 25 // layers.Audience.MapCell: 250 m for the public
	grid := landscapeGrid(t)
	wide := grid
	wide.Cols, wide.Rows = roundUp(grid.Cols, n), roundUp(grid.Rows, n)
	exact, squares := richJob(t, wide, Floats, layers.Staff), richJob(t, grid, Bytes, layers.Public)
	exact.Subjects, squares.Subjects = exact.Subjects[2:3], squares.Subjects[2:3]
	c := build(t, exact)
	S := floatsOf(t, c.path(exact, 0, SuitabilityPlane))
	standing := bytesOf(t, c.path(exact, 0, StandingPlane), wide)
	c = build(t, squares)
	got := squaresOf(t, squares, c)
	if c.Species[0].MapCell != 250 {
		t.Fatalf("map cell %g m", c.Species[0].MapCell)
	}
	known, near := 0, 0
	for row := 0; row < grid.Rows; row += n {
		for col := 0; col < grid.Cols; col += n {
			mean, why := slowSquare(S, standing, wide.Cols, col, row, n)
			w := layers.Window{Col: col, Row: row, Cols: n, Rows: n}.Intersect(grid.Window())
			got.mustAll(t, grid, w, "standing", got.standing, why)
			if nearABoundary(mean) {
				near++
				continue
			}
			got.mustAll(t, grid, w, "suitability", got.shown, EncodeByte(mean))
			got.mustAll(t, grid, w, "class", got.class, uint8(DefaultClasses().Of(mean)))
			if mean == mean {
				known++
			}
		}
	}
	if known < 300 || near > known/20 {
		t.Errorf("%d squares known, %d near a boundary: too few to tell", known, near)
	}
	t.Logf("%d squares known, %d too near a boundary to tell", known, near)
}

// nearABoundary tells whether rounding to float32 could move a mean to another
// byte or class.
func nearABoundary(mean float64) bool {
	return math.Abs(mean*200-math.Floor(mean*200)-0.5) < 1e-4 || mean > 0 && math.Abs(mean*5-math.Round(mean*5)) < 1e-5
}

func (squareCells) mustAll(t testing.TB, g layers.Grid, w layers.Window, what string, cells []uint8, want uint8) {
	t.Helper()
	for row := w.Row; row < w.Bottom(); row++ {
		for col := w.Col; col < w.Right(); col++ {
			if got := cells[row*g.Cols+col]; got != want {
				t.Fatalf("cell %d %d: %s %d, not %d", col, row, what, got, want)
			}
		}
	}
}

type squareCells struct{ shown, class, standing []uint8 }

func squaresOf(t testing.TB, j *Job, c *Catalogue) squareCells {
	read := func(p Plane) []uint8 { return bytesOf(t, c.path(j, 0, p), j.Grid) }
	return squareCells{read(SuitabilityPlane), read(ClassPlane), read(StandingPlane)}
}

// slowSquare is the mean of a square's known cells, NaN where fewer than half
// are, and the most frequent standing among the cells that decided that.
func slowSquare(S []float32, standing []uint8, cols, col, row, n int) (float64, uint8) {
	sum, known := 0.0, 0
	votes := map[bool]map[uint8]int{true: {}, false: {}}
	for y := row; y < row+n; y++ {
		for x := col; x < col+n; x++ {
			v := float64(S[y*cols+x])
			is := !math.IsNaN(v)
			if is {
				sum, known = sum+v, known+1
			}
			votes[is][standing[y*cols+x]]++
		}
	}
	mean := math.NaN()
	if 2*known >= n*n {
		mean = sum / float64(known)
	}
	best, most := uint8(0), 0
	for _, s := range Standings() {
		if count := votes[mean == mean][uint8(s)]; count > most {
			best, most = uint8(s), count
		}
	}
	return mean, best
}
