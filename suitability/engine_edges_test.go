package suitability

import (
	"math"
	"testing"

	"tussock/layers"
)

// A layer that knows nothing gives surfaces without a known cell, and a grid of
// one cell is a grid.
func TestEdgesOfTheWorld(t *testing.T) {
	t.Parallel()
	grid := landscapeGrid(t)
	grid.West += 100_000 // beyond every source
	grid.Cols, grid.Rows = 700, 300
	j := richJob(t, grid, Bytes, layers.Staff)
	j.Subjects = []Subject{{Profile: beiLike()}}
	c := build(t, j)
	for plane, want := range map[Plane]uint8{HabitatPlane: ByteNodata, SuitabilityPlane: ByteNodata, ClassPlane: ByteNodata, StandingPlane: uint8(NotAssessed)} {
		for i, got := range bytesOf(t, c.path(j, 0, plane), grid) {
			if got != want {
				t.Fatalf("nothing known: %v, cell %d is %d", plane, i, got)
			}
		}
	}
	for _, side := range [][2]int{{1, 1}, {1, 513}, {257, 1}, {512, 512}} {
		grid := landscapeGrid(t)
		grid.Cols, grid.Rows = side[0], side[1]
		for _, audience := range []layers.Audience{layers.Staff, layers.Public} {
			one := richJob(t, grid, Floats, audience)
			c := build(t, one)
			if cells := floatsOf(t, c.path(one, 2, SuitabilityPlane)); len(cells) != grid.Window().Cells() {
				t.Errorf("%v: %d cells", side, len(cells))
			}
		}
	}
}

func TestJobsThatNothingCanComeOf(t *testing.T) {
	for name, spoil := range map[string]func(*Job){
		"no cells":       func(j *Job) { j.Grid.Cols = 0 },
		"falling breaks": func(j *Job) { j.Classes = Classes{0.6, 0.4} },
		"a break of NaN": func(j *Job) { j.Classes = Classes{math.NaN()} },
		"no such class":  func(j *Job) { j.Counted = 5 },
	} {
		j := smallJob(t)
		spoil(j)
		if _, err := j.Plan(512, 1); err == nil {
			t.Errorf("%s: no error", name)
		}
	}
}

// Measures are held no longer than some species needs them.
func TestMeasuresAreLetGo(t *testing.T) {
	j := smallJob(t)
	p, err := j.Plan(512, 1)
	if err != nil {
		t.Fatal(err)
	}
	g := newGround(j, layers.Window{Cols: 64, Rows: 64}, p.profiles([]int{0, 1}))
	held := []int{}
	for _, s := range j.Subjects {
		if err := g.assess(&desk{}, s); err != nil {
			t.Fatal(err)
		}
		held = append(held, g.held())
	}
	if held[0] != 1 || held[1] != 0 { // both read the class of the cell
		t.Errorf("%v measures held after each species", held)
	}
}

// held counts the blocks that are kept.
func (g *ground) held() int {
	n := 0
	for _, entries := range []map[string]*kept{g.measured, g.offers} {
		for _, k := range entries {
			if k.known {
				n++
			}
		}
	}
	return n
}

// finder against the plain search, on numbers around every break and bucket.
func TestClassFinder(t *testing.T) {
	for _, c := range []Classes{nil, {0.5}, DefaultClasses(), {1.0 / 256, 0.3, 0.300001, 0.9999999}} {
		var numbers []float32
		for i := range 1025 {
			x := float32(i) / 1024
			numbers = append(numbers, x, math.Nextafter32(x, -1), math.Nextafter32(x, 2))
		}
		for _, b := range c {
			numbers = append(numbers, float32(b), math.Nextafter32(float32(b), -1), math.Nextafter32(float32(b), 2))
		}
		numbers = append(numbers, float32(math.NaN()), float32(math.Inf(1)), -3, 7)
		got := make([]uint8, len(numbers))
		c.finder().row(got, numbers)
		for i, S := range numbers {
			if want := uint8(c.OfFloat32(S)); got[i] != want {
				t.Errorf("%v: %v is class %d, not %d", c, S, got[i], want)
			}
		}
	}
}

func beiLike() *Profile {
	return &Profile{ID: "height", Requisites: []Requisite{{ID: "all", Weight: 1, Criteria: []Criterion{
		{ID: "height", Weight: 1, Measure: layers.Mean{Layer: "elev", Radius: 80}, Rating: Curve{{0, 0}, {300, 1}}}}}}}
}
