package evidence

import (
	"context"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"strconv"
	"testing"

	"github.com/paulmach/orb"

	"tussock/layers"
	"tussock/suitability"
)

// The tropical plot of testdata/bei: 3604 trees on 201 by 101 cells of 5 m, and
// figures computed from it by numpy and scipy (ref/reference_python.json; its
// definitions stand there and in README.md).

type plotReference struct {
	Overlay struct {
		AUC   float64   `json:"auc_all_cells"`
		Boyce []float64 `json:"boyce"`
		Above int       `json:"cells_ge_0_5"`
	} `json:"weighted_overlay"`
	Blocks struct {
		Blocks []struct {
			Points int
			Cells  int64
			Coef   []float64
			AUC    float64 `json:"auc_equal"`
		}
	} `json:"block_cv"`
	Grad []struct {
		Low    float64 `json:"lo"`
		Cells  float64
		Points int64
	} `json:"bins_grad"`
}

func readPlot(t *testing.T) (*suitability.Job, []Place, plotReference) {
	t.Helper()
	const folder = "../../testdata/bei/"
	grid := layers.Grid{West: -2.5, North: 502.5, Cell: 5, Cols: 201, Rows: 101}
	crs, err := layers.ParseCRS(`ENGCRS["BCI plot local grid (m)",EDATUM[""],CS[Cartesian,2],AXIS["(E)",east,ORDER[1]],AXIS["(N)",north,ORDER[2]],LENGTHUNIT["metre",1]]`)
	if err != nil {
		t.Fatal(err)
	}
	grid.CRS = crs
	var opened []*layers.Layer
	for _, name := range []string{"elev", "grad"} {
		l, err := layers.OpenLayer(layers.LayerSpec{Name: name, Kind: layers.Quantity, Source: folder + name + ".tif", Resample: layers.Nearest}, grid)
		if err != nil {
			t.Fatal(err)
		}
		opened = append(opened, l)
	}
	set := layers.NewSet(grid, opened...)
	t.Cleanup(func() { set.Close() })
	var reference plotReference
	raw, err := os.ReadFile(folder + "ref/reference_python.json")
	if err == nil {
		err = json.Unmarshal(raw, &reference)
	}
	if err != nil {
		t.Fatal(err)
	}
	job := &suitability.Job{Grid: grid, Layers: set, Audience: layers.Staff, Classes: suitability.DefaultClasses()}
	return job, trees(t, folder+"occurrences.csv"), reference
}

func trees(t *testing.T, file string) []Place {
	t.Helper()
	f, err := os.Open(file)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var places []Place
	for _, row := range rows[1:] {
		x, errX := strconv.ParseFloat(row[3], 64)
		y, errY := strconv.ParseFloat(row[4], 64)
		if errX != nil || errY != nil {
			t.Fatalf("%q: %v, %v", row, errX, errY)
		}
		places = append(places, Place{At: orb.Point{x, y}})
	}
	return places
}

// linear is S as a weighted sum of straight curves over elev and grad.
func linear(elev, grad suitability.Curve, weights ...float64) suitability.Subject {
	return suitability.Subject{Profile: &suitability.Profile{ID: "tree", Rule: suitability.Rule{Kind: suitability.Arithmetic}, Requisites: []suitability.Requisite{{
		ID: "ground", Weight: 1, Criteria: []suitability.Criterion{
			{ID: "height", Weight: weights[0], Measure: layers.Value{Layer: "elev"}, Rating: elev},
			{ID: "slope", Weight: weights[1], Measure: layers.Value{Layer: "grad"}, Rating: grad},
		}}}}}
}

// overlay is the reference's S = 0.5·T(elev) + 0.5·L(grad).
func overlay() suitability.Subject {
	return linear(bends(120, 0, 135, 1, 150, 1, 160, 0), bends(0, 0, 0.25, 1), 0.5, 0.5)
}

func assessPlaces(t *testing.T, j *suitability.Job, s suitability.Subject, places []Place, o AssessOptions) *PresenceBackground {
	t.Helper()
	a := newAssessing(j, s, places, o)
	if err := a.background(context.Background()); err != nil {
		t.Fatal(err)
	}
	return &a.result
}

// TestAssessThePlot: AUC and Boyce index (observed domain) of the overlay against
// all cells, and how records choose by tenths of slope.
func TestAssessThePlot(t *testing.T) {
	j, places, want := readPlot(t)
	p := assessPlaces(t, j, overlay(), places, AssessOptions{Side: 100, Window: 77, Draws: 60})
	x := p.InRange
	if x.Records != 3604 || x.Cells != 20301 || p.WithEdge != nil || p.Rebuilt {
		t.Errorf("%d records on %d cells", x.Records, x.Cells)
	}
	if math.Abs(x.AUC.Value-want.Overlay.AUC) > 1e-6 || math.Abs(want.Overlay.AUC-0.643035) > 1e-6 {
		t.Errorf("AUC %.7f, not %.7f", x.AUC.Value, want.Overlay.AUC)
	}
	if x.Index.Err != nil || math.Abs(x.Index.Index-want.Overlay.Boyce[0]) > 1e-6 || float64(x.Index.Used) != want.Overlay.Boyce[1] || x.Index.Method != MovingWindow {
		t.Errorf("Boyce %+v, not %v", x.Index.BoyceResult, want.Overlay.Boyce)
	}
	if math.Abs(x.Index.Dropped-want.Overlay.Boyce[0]) > 1e-6 || x.Index.DroppedErr != nil {
		t.Errorf("Boyce with repeats dropped %g, %v", x.Index.Dropped, x.Index.DroppedErr)
	}
	slope := p.Measures[1]
	if len(slope.Ratios) != 10 || fmt.Sprint(slope.Parts) != "[ground/slope]" {
		t.Fatalf("%+v", slope)
	}
	for i, r := range slope.Ratios {
		bin := want.Grad[i]
		// A break may fall on a cell, to its last digit.
		if r.Used != bin.Points || math.Abs(r.Available-bin.Cells) > 1 || math.Abs(r.Low-bin.Low) > 1e-9 {
			t.Errorf("tenth %d: %d records on %g cells from %g; not %+v", i+1, r.Used, r.Available, r.Low, bin)
		}
	}
	t.Logf("index %.6f (%.3f to %.3f of %d draws), %d blocks of %g m, %d folds: %s", x.Index.Index, x.Index.Low, x.Index.High, x.Index.Draws, p.Blocks, p.Side.Metres, len(p.Folds), p.Claim.Skill)
}

// TestFiveStripsOfThePlot: in each fifth of the plot, 200 m wide, the map fitted on
// the other four. The reference's coefficients are taken as they are, a·elev +
// b·grad, as a weighted sum of straight curves, which ranks cells as λ does.
func TestFiveStripsOfThePlot(t *testing.T) {
	j, places, want := readPlot(t)
	strips := parts{"strips", func(col, row int) int {
		return min(max(int(j.Grid.Centre(col, row)[0]/200), 0), 4)
	}}
	for k, published := range []float64{0.530153, 0.685941, 0.677274, 0.398216, 0.660908} {
		b := want.Blocks.Blocks[k]
		elev := bends(110, 0, 170, 1)
		if b.Coef[1] < 0 {
			elev = bends(110, 1, 170, 0)
		}
		fitted := linear(elev, bends(0, 0, 0.5, 1), 60*math.Abs(b.Coef[1]), 0.5*b.Coef[2])
		l := looker{job: j, window: 64}
		samples, err := l.look(context.Background(), places, onePart, func(int) suitability.Subject { return fitted }, nil)
		if err != nil {
			t.Fatal(err)
		}
		var presence []float64
		for i, s := range samples {
			if strips.of(j.Grid.CellAt(places[i].At)) == k {
				presence = append(presence, s.Habitat)
			}
		}
		h, err := NewHistogram(presence)
		if err != nil {
			t.Fatal(err)
		}
		err = l.walk(context.Background(), []suitability.Subject{fitted}, func(list []walked) {
			list[0].cells(func(col, row int, s float32, _ suitability.Standing) {
				if strips.of(col, row) == k {
					h.Add(float64(s), 1)
				}
			})
		})
		if err != nil {
			t.Fatal(err)
		}
		auc, err := h.AUC()
		if err != nil || auc.Presences != int64(b.Points) || auc.Background != b.Cells {
			t.Errorf("strip %d: %d trees on %d cells, %v", k+1, auc.Presences, auc.Background, err)
		}
		if math.Abs(auc.Value-b.AUC) > 1e-6 || math.Abs(auc.Value-published) > 1e-6 {
			t.Errorf("strip %d: AUC %.7f, not %.7f", k+1, auc.Value, b.AUC)
		}
	}
}
