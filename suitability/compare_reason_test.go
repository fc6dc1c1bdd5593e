package suitability

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"tussock/layers"
)

// reasonJob is a snake that lives by its records, its range, and a newt near by,
// on few cells. Each call builds it anew.
func reasonJob(t testing.TB) *Job {
	t.Helper()
	grid := landscapeGrid(t)
	grid.Cols, grid.Rows = 90, 60
	j := richJob(t, grid, Bytes, layers.Staff)
	newt := Subject{Profile: &Profile{ID: "newt", Scientific: "Triturus nusquam", Rule: Rule{Kind: Geometric}, Floor: DefaultFloor,
		Requisites: []Requisite{{ID: "ground", Weight: 1, Criteria: []Criterion{
			{ID: "height", Weight: 1, Measure: layers.Mean{Layer: "elev", Radius: 80}, Rating: Curve{{0, 0}, {300, 1}}}}}}}}
	snake := Subject{
		Profile: &Profile{ID: "snake", Scientific: "Natrix nusquam", Source: "assumption", Rule: Rule{Kind: Arithmetic}, Floor: DefaultFloor,
			Requisites: []Requisite{{ID: "all", Weight: 1, Criteria: []Criterion{
				{ID: "heath", Weight: 2, Measure: layers.Share{Layer: "cover", Radius: 120, Weights: map[string]float64{"heath": 1}}, Rating: Curve{{0, 0.1}, {0.6, 1}}},
				{ID: "known", Weight: 1, Measure: layers.PointKernel{Of: "snake", Points: known(grid, 20), Radius: 300, Half: 1}, Rating: Curve{{0, 0}, {1, 1}}},
				{ID: "prey", Weight: 1, Measure: NearbySpecies{Others: []Subject{newt}, Radius: 50}, Rating: Curve{{0, 0}, {1, 1}}},
			}}}},
		Range: halfOf(t, grid, 0.8),
	}
	j.Subjects = []Subject{newt, snake}
	return j
}

// known are records along the grid's diagonal.
func known(g layers.Grid, n int) []layers.WeightedPoint {
	var points []layers.WeightedPoint
	for i := range n {
		points = append(points, layers.WeightedPoint{At: orb.Point{g.West + 40*float64(i), g.North - 25*float64(i)}, Weight: 1})
	}
	return points
}

// halfOf is a range over the western share of a grid.
func halfOf(t testing.TB, g layers.Grid, share float64) *RangeMap {
	return halfWithEdge(t, g, share, 0)
}

func halfWithEdge(t testing.TB, g layers.Grid, share, edge float64) *RangeMap {
	t.Helper()
	b := g.Bound(g.Window())
	b.Max[0] = b.Min[0] + share*(b.Max[0]-b.Min[0])
	m, err := NewRangeMap([]RangePolygon{{Species: "any", Status: StatusDocumented, Geometry: orb.MultiPolygon{{b.ToRing()}}}}, g, edge)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

func (j *Job) snake() *Subject { return &j.Subjects[1] }

// criterion lets a change replace one of the snake's measures.
func (j *Job) criterion(i int) *Criterion { return &j.snake().Profile.Requisites[0].Criteria[i] }

// without takes one of the snake's measures away.
func (j *Job) without(i int) {
	all := &j.snake().Profile.Requisites[0].Criteria
	*all = slices.Delete(*all, i, i+1)
}

// newtOf changes the newt that the snake lives by, and the newt itself.
func (j *Job) newtOf(change func(*Subject)) {
	near := j.criterion(2).Measure.(NearbySpecies)
	change(&near.Others[0])
	j.criterion(2).Measure = near
	j.Subjects[0] = near.Others[0]
}

// published maps a job and opens the snake's surface.
func reasonVersion(t testing.TB, change func(*Job)) *Version {
	t.Helper()
	j := reasonJob(t)
	change(j)
	c := build(t, j)
	list, err := c.Current(j.Folder)
	if err != nil {
		t.Fatal(err)
	}
	return list[1]
}

// One thing changed at a time is the one reason that is given.
func TestReasons(t *testing.T) {
	t.Parallel()
	base := reasonVersion(t, func(*Job) {})
	for _, c := range []struct {
		name   string
		change func(*Job)
		want   string // kinds and names of the parts that may change cells
		words  string // kinds of those that may not
		says   string
	}{
		{"nothing", func(*Job) {}, "", "", "The two are the same version."},
		{"a layer", func(j *Job) { j.Inputs["cover"] = "9" }, "layer cover", "", "Changed, without an effect on any cell: the layer cover."},
		{"a layer of the newt's", func(j *Job) { j.Inputs["elev"] = "9" }, "layer elev", "", "Changed, without an effect on any cell: the layer elev."},
		{"a weight", func(j *Job) { j.criterion(0).Weight = 5 }, "profile ", "", "One thing changed: the species' profile."},
		{"a record more", func(j *Job) {
			j.criterion(1).Measure = layers.PointKernel{Of: "snake", Points: known(j.Grid, 21), Radius: 300, Half: 1}
		}, "records ", "", "One thing changed: the records that count, or their weights."},
		{"a wider kernel", func(j *Job) {
			j.criterion(1).Measure = layers.PointKernel{Of: "snake", Points: known(j.Grid, 20), Radius: 400, Half: 1}
		}, "profile ", "", "One thing changed: the species' profile."},
		{"the range", func(j *Job) { j.snake().Range = halfOf(t, j.Grid, 0.6) }, "range ", "", "One thing changed: the range."},
		{"the prey's profile", func(j *Job) {
			j.newtOf(func(s *Subject) { s.Profile.Requisites[0].Criteria[0].Rating = Curve{{0, 1}, {300, 0}} })
		}, "other species newt", "", "One thing changed: the model of newt, on which it rests."},
		{"the prey's range", func(j *Job) {
			j.newtOf(func(s *Subject) { s.Range = halfOf(t, j.Grid, 0.3) })
		}, "other species newt", "", "One thing changed: the model of newt, on which it rests."},
		{"a wider look for prey", func(j *Job) {
			near := j.criterion(2).Measure.(NearbySpecies)
			near.Radius = 90
			j.criterion(2).Measure = near
		}, "profile ", "", "One thing changed: the species' profile."},
		{"the class breaks", func(j *Job) { j.Classes = Classes{0.3, 0.6} }, "class breaks ", "", "One thing changed: the class breaks."},
		{"how numbers are stored", func(j *Job) { j.Values = Floats }, "stored values ", "", "One thing changed: the stored values."},
		{"the name", func(j *Job) { j.snake().Profile.Name = "Snake" }, "", "names and sources", "Nothing changed that shapes cells."},
		{"the date", func(j *Job) { j.Date = "2027-06-01" }, "", "reference date", "Nothing changed that shapes cells."},
		{"the colours", func(j *Job) { j.Look = Look{Ramp: aLook(1).Difference} }, "", "colours", "Nothing changed that shapes cells."},
		{"the range's edge", func(j *Job) {
			j.snake().Profile.EdgeM = 150
			j.snake().Range = halfWithEdge(t, j.Grid, 0.8, 150)
		}, "range ", "", "One thing changed: the range."},
		{"a layer less", func(j *Job) { j.without(0) }, "layer cover, profile ", "",
			"One thing changed: the species' profile, and with it the layer cover (which only the older version reads)."},
		{"no records", func(j *Job) { j.without(1) }, "profile , records ", "",
			"One thing changed: the species' profile, and with it the records that count, or their weights."},
		{"no prey", func(j *Job) { j.without(2) }, "layer elev, profile , other species newt", "",
			"One thing changed: the species' profile, and with it the layer elev (which only the older version reads); the model of newt, on which the older version rests."},
		{"older records", func(j *Job) {
			points := known(j.Grid, 20)
			points[3].Weight = 0.5
			j.criterion(1).Measure = layers.PointKernel{Of: "snake", Points: points, Radius: 300, Half: 1}
			j.Date = "2027-06-01"
		}, "records ", "reference date", "One thing changed: the records that count, or their weights at the new reference date."},
		{"two things", func(j *Job) { j.Inputs["cover"] = "9"; j.criterion(0).Weight = 5 }, "layer cover, profile ", "",
			"2 things changed at once: the layer cover; the species' profile. The maps cannot tell which of them did how much; change one at a time to know."},
	} {
		now := reasonVersion(t, c.change)
		got, err := Compare(context.Background(), base, now, ChangeRasters{})
		if err != nil {
			t.Fatalf("%s: %v", c.name, err)
		}
		var cells, words []string
		for _, p := range got.Parts {
			if p.Cells {
				cells = append(cells, p.Kind+" "+p.Name)
			} else {
				words = append(words, p.Kind)
			}
		}
		if strings.Join(cells, ", ") != c.want || strings.Join(words, ", ") != c.words || got.Because != c.says || len(got.Unrecorded) > 0 {
			t.Errorf("%s: %q and %q; %s; not recorded %q", c.name, cells, words, got.Because, got.Unrecorded)
		}
		if wanted := strings.HasPrefix(c.says, "One thing") || strings.HasPrefix(c.says, "2 things"); got.Same == wanted {
			t.Errorf("%s: same %v", c.name, got.Same)
		}
	}
}

// A species that is found to be sensitive is mapped in squares, and without its
// records: one cause.
func TestReasonsOfSensitivity(t *testing.T) {
	old := parts{Version: "a", Engine: "1", GDAL: "3", Profile: "p1", Recipe: "r1", Records: "abc", Range: "g", Values: "bytes", Inputs: map[string]string{"cover": "1"}, MapCell: 1}
	now := old
	now.Version, now.Profile, now.Recipe, now.Records, now.MapCell = "b", "p2", "r2", noRecords, 25
	changed, unrecorded := changedParts(old, now, "x", "x")
	if got := because(changed, unrecorded, false); got != "One thing changed: the species' profile, and with it the records that count, or their weights; the map cell." {
		t.Error(got)
	}
	// Nobody knows of what a layer is the consequence where the profile was not recorded.
	now.Recipe, now.Inputs = "", map[string]string{"soil": "2"}
	changed, unrecorded = changedParts(old, now, "x", "x")
	if got := because(changed, unrecorded, false); !strings.HasPrefix(got, "Changed: the layer cover (which only the older version reads); the layer soil (which only the newer version reads); ") {
		t.Error(got)
	}
	// Nor is another library's answer to the same question sure to be the same.
	now = old
	now.Version, now.GDAL = "b", "4"
	changed, unrecorded = changedParts(old, now, "x", "x")
	if got := because(changed, unrecorded, false); got != "One thing changed: the GDAL version." {
		t.Error(got)
	}
	if got := because([]Part{{Kind: PartColours}}, nil, false); strings.Contains(got, "shapes") {
		t.Errorf("cells differ, and yet: %s", got)
	}
}

// Items of earlier programs lack some parts; nothing is made up for them.
func TestReasonsNotRecorded(t *testing.T) {
	full := parts{Version: "b", Engine: "1", GDAL: "3", Profile: "p2", Recipe: "r", Records: "none", Range: "g", Values: "bytes", Inputs: map[string]string{"cover": "1"}, MapCell: 1}
	old := parts{Version: "a", Engine: "1", GDAL: "3", Profile: "p1", Inputs: map[string]string{"cover": "1"}, MapCell: 1}
	changed, unrecorded := changedParts(old, full, "x", "x")
	if len(changed) > 0 || !slices.Equal(unrecorded, []string{PartProfile, PartRecords, PartRange, PartValues}) {
		t.Errorf("%+v, %q", changed, unrecorded)
	}
	if got := because(changed, unrecorded, false); !strings.HasPrefix(got, "Not recorded: profile, records, range, stored values") {
		t.Error(got)
	}
	old.Profile = "p2" // the same as a whole: what it is made of did not change
	old.Inputs["cover"] = "0"
	changed, unrecorded = changedParts(old, full, "x", "x")
	if fmt.Sprint(changed) != "[{layer cover 0 1 true}]" || !slices.Equal(unrecorded, []string{PartRange, PartValues}) {
		t.Errorf("%+v, %q", changed, unrecorded)
	}
	if got := because(changed, unrecorded, false); got != "Changed: the layer cover. Not recorded, and perhaps changed as well: range, stored values." {
		t.Error(got)
	}
	older := old
	older.Inputs = nil
	older.Version, older.Profile = "c", "p0"
	if _, unrecorded = changedParts(older, old, "x", "x"); !slices.Equal(unrecorded, []string{"layers", PartProfile, PartRecords, PartRange, PartValues}) {
		t.Errorf("two old items: %q", unrecorded)
	}
}
