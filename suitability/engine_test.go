package suitability

import (
	"context"
	"errors"
	"math"
	"os"
	"path/filepath"
	"testing"

	"github.com/paulmach/orb"

	"tussock/layers"
)

const bei = "../testdata/bei/"

// beiJob is the weighted overlay of testdata/bei/README.md: half a trapezoid of
// elevation, half a ramp of slope, on the plot's own metres.
func beiJob(t testing.TB, values Values, audience layers.Audience) *Job {
	t.Helper()
	r, err := layers.OpenRaster(bei+"elev.tif", 1)
	if err != nil {
		t.Fatal(err)
	}
	info := r.Info()
	r.Close()
	grid := layers.Grid{CRS: info.CRS, West: info.Affine[0], North: info.Affine[3], Cell: info.Affine[1], Cols: info.Cols, Rows: info.Rows}
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
	return &Job{
		Project: "Forest plot", Grid: grid, Layers: set, Inputs: map[string]string{"elev": "e", "grad": "g"},
		Subjects: []Subject{{Profile: beiProfile()}}, Audience: audience, Values: values,
		Classes: DefaultClasses(), Counted: 3, Date: "2026-06-01", Folder: t.TempDir(),
	}
}

func beiProfile() *Profile {
	return &Profile{
		ID: "beilschmiedia", Name: "Beilschmiedia tree", Scientific: "Beilschmiedia pendula", Source: "assumption",
		Rule: Rule{Kind: Arithmetic},
		Requisites: []Requisite{{ID: "ground", Weight: 1, Criteria: []Criterion{
			{ID: "elevation", Weight: 0.5, Measure: layers.Value{Layer: "elev"}, Rating: Curve{{120, 0}, {135, 1}, {150, 1}, {160, 0}}},
			{ID: "gradient", Weight: 0.5, Measure: layers.Value{Layer: "grad"}, Rating: Curve{{0, 0}, {0.25, 1}}},
		}}},
	}
}

// build plans, runs and reduces a job in one go.
func build(t testing.TB, j *Job) *Catalogue {
	t.Helper()
	p, err := j.Plan(0, 1)
	if err != nil {
		t.Fatal(err)
	}
	ctx := context.Background()
	if err := p.Run(ctx, 0, RunOptions{Workers: 2}); err != nil {
		t.Fatal(err)
	}
	c, err := p.Reduce(ctx, RunOptions{Workers: 2})
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// plane is a published plane of the catalogue's i-th species.
func (c *Catalogue) path(j *Job, i int, p Plane) string {
	return filepath.Join(j.Folder, c.Species[i].Files[p.String()])
}

func floatsOf(t testing.TB, path string) []float32 {
	t.Helper()
	r, err := layers.OpenRaster(path, 1)
	if err != nil {
		t.Fatal(err)
	}
	info := r.Info()
	cells := make([]float32, info.Cols*info.Rows)
	if err := errors.Join(r.ReadFloat32(0, 0, info.Cols, info.Rows, cells), r.Close()); err != nil {
		t.Fatal(err)
	}
	return cells
}

func bytesOf(t testing.TB, path string, g layers.Grid) []uint8 {
	t.Helper()
	cells := make([]uint8, g.Window().Cells())
	if err := readBytes(path, g.Window(), cells); err != nil {
		t.Fatal(err)
	}
	return cells
}

// The reference is testdata/bei/ref/suitability.tif, which an independent
// program computed; cells and mean as testdata/bei/README.md gives them.
func TestOverlayOfRealPlotAgainstReference(t *testing.T) {
	j := beiJob(t, Floats, layers.Staff)
	c := build(t, j)
	got, want := floatsOf(t, c.path(j, 0, HabitatPlane)), floatsOf(t, bei+"ref/suitability.tif")
	if len(got) != 20301 || len(want) != 20301 {
		t.Fatalf("%d and %d cells, not 20301", len(got), len(want))
	}
	sum, worst := 0.0, 0.0
	for i := range got {
		sum += float64(got[i])
		worst = max(worst, math.Abs(float64(got[i])-float64(want[i])))
	}
	if !(worst <= 1e-6) {
		t.Errorf("worst cell differs by %g", worst)
	}
	if mean := sum / 20301; !(math.Abs(mean-0.586468220) <= 1e-7) {
		t.Errorf("mean %.9f, not 0.586468220", mean)
	}
	t.Logf("worst cell %.2g, mean %.9f", worst, sum/20301)
}

// Bytes must be the right rounding wherever the overlay, read out loud in
// float64, is farther than 1e-5 from a boundary between two bytes.
func TestBytesOfRealPlotAreRoundedRight(t *testing.T) {
	j := beiJob(t, Bytes, layers.Staff)
	c := build(t, j)
	elev, grad := floatsOf(t, bei+"elev.tif"), floatsOf(t, bei+"grad.tif")
	for _, plane := range []Plane{HabitatPlane, SuitabilityPlane} { // equal, as nobody drew a range
		near := 0
		for i, got := range bytesOf(t, c.path(j, 0, plane), j.Grid) {
			S := overlayOutLoud(float64(elev[i]), float64(grad[i]))
			if math.Abs(S*200-math.Floor(S*200)-0.5)/200 <= 1e-5 {
				near++
				continue
			}
			if want := uint8(math.Floor(S*200 + 0.5)); got != want {
				t.Fatalf("%v, cell %d: byte %d for %.9f, not %d", plane, i, got, S, want)
			}
		}
		if near > 200 { // 1e-5 either side of a step of 0.005 is 0.4 % of the cells
			t.Errorf("%v: %d cells near a boundary", plane, near)
		}
	}
}

func overlayOutLoud(elev, grad float64) float64 {
	t := math.Min(1, math.Min((elev-120)/15, (160-elev)/10))
	return 0.5*math.Max(0, t) + 0.5*math.Min(1, math.Max(0, grad/0.25))
}

// Classes and the number of species come from the exact overlay.
func TestClassesAndCountOfRealPlot(t *testing.T) {
	j := beiJob(t, Bytes, layers.Staff)
	c := build(t, j)
	exact := floatsOf(t, bei+"ref/suitability.tif")
	count := bytesOf(t, filepath.Join(j.Folder, c.Count.Files["count"]), j.Grid)
	for i, class := range bytesOf(t, c.path(j, 0, ClassPlane), j.Grid) {
		S := float64(exact[i])
		if math.Abs(S*5-math.Round(S*5)) < 1e-5 {
			continue // on a break, where the reference's own rounding decides
		}
		if want := uint8(math.Min(4, math.Floor(S*5))); class != want {
			t.Fatalf("cell %d: class %d for %.7f, not %d", i, class, S, want)
		}
		if want := uint8(0); S > 0.6 && count[i] != 1 || S < 0.6 && count[i] != want {
			t.Fatalf("cell %d: %d species at %.7f", i, count[i], S)
		}
	}
	for i, s := range bytesOf(t, c.path(j, 0, StandingPlane), j.Grid) {
		if Standing(s) != RangeNotDocumented {
			t.Fatalf("cell %d: standing %v without any range", i, Standing(s))
		}
	}
}

// A published file is found again by the catalogue, and a cell explains itself
// with what was published.
func TestExplainedCellIsThePublishedCell(t *testing.T) {
	j := beiJob(t, Floats, layers.Staff)
	c := build(t, j)
	shown := floatsOf(t, c.path(j, 0, SuitabilityPlane))
	for _, at := range []orb.Point{{0, 0}, {500, 250}, {1000, 500}, {123.4, 432.1}} {
		x, err := j.ExplainCell(j.Subjects[0], at)
		if err != nil {
			t.Fatal(err)
		}
		if got := float64(shown[x.Row*j.Grid.Cols+x.Col]); math.Abs(got-x.Shown) > 1e-6 {
			t.Errorf("%v: published %.8f, explained %.8f", at, got, x.Shown)
		}
	}
	if _, err := j.ExplainCell(j.Subjects[0], orb.Point{-1000, 0}); !errors.Is(err, ErrOutside) {
		t.Errorf("a place outside: %v", err)
	}
}

func TestNothingForNobody(t *testing.T) {
	j := beiJob(t, Bytes, 0)
	if _, err := j.Plan(0, 1); !errors.Is(err, layers.ErrNoAudience) {
		t.Errorf("no audience: %v", err)
	}
	j.Audience = layers.Partner
	j.Subjects[0].Profile.Sensitivity = layers.ExtremeSensitivity
	if _, err := j.Plan(0, 1); !errors.Is(err, ErrNothing) {
		t.Errorf("a species withheld from partners: %v", err)
	}
	if _, err := j.ExplainCell(j.Subjects[0], orb.Point{500, 250}); !errors.Is(err, ErrWithheld) {
		t.Errorf("explaining a withheld species: %v", err)
	}
	if left, _ := os.ReadDir(j.Folder); len(left) > 0 {
		t.Errorf("something was written: %v", left)
	}
}

func TestPlanRefusesImpossibleCuts(t *testing.T) {
	j := beiJob(t, Bytes, layers.Staff)
	for _, cut := range [][2]int{{-512, 1}, {256, 1}, {1000, 1}, {512, 0}} {
		if _, err := j.Plan(cut[0], cut[1]); err == nil {
			t.Errorf("block %d, %d shards: no error", cut[0], cut[1])
		}
	}
	p, err := j.Plan(512, 2)
	if err != nil {
		t.Fatal(err)
	}
	for _, shard := range []int{-1, 2} {
		if err := p.Run(context.Background(), shard, RunOptions{}); err == nil {
			t.Errorf("shard %d of 2: no error", shard)
		}
	}
}
