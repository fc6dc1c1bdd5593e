package land

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"path/filepath"
	"testing"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"

	"tussock/layers"
)

func pointText(p orb.Point) string { return fmt.Sprintf("%.1f, %.1f", p[0], p[1]) }

func TestOutlinesAreValid(t *testing.T) {
	both(t, func(t *testing.T, d *District) {
		for _, p := range d.Places {
			if len(p.Outline) == 0 {
				continue
			}
			if reason, at, ok := layers.ValidateGeometry(p.Outline); !ok || planar.Area(p.Outline) <= 0 {
				t.Errorf("%s: %s at %s", p.Name, reason, pointText(at))
			}
		}
	})
}

// Lone cells betray noise: apart from hedges, houses, water and verges hardly any
// cell may stand alone in its class.
func TestNoSaltAndPepper(t *testing.T) {
	both(t, func(t *testing.T, d *District) {
		lone := 0
		for r := 1; r < Rows-1; r++ {
			for c := 1; c < Cols-1; c++ {
				i := d.Index(c, r)
				switch own := d.Cover[i]; own {
				case Scrub, Built, Gardens, OpenWater, RailVerge:
				default:
					if d.Cover[i-1] != own && d.Cover[i+1] != own && d.Cover[i-Cols] != own && d.Cover[i+Cols] != own {
						lone++
					}
				}
			}
		}
		if share := float64(lone) / (Cols * Rows); share > 0.0015 {
			t.Errorf("%.4f of the cells stand alone", share)
		}
	})
}

// GDAL, through package layers, reads what was written. It is a second opinion on the files.
func TestFilesReadBack(t *testing.T) {
	t.Parallel()
	d, folder := first(), t.TempDir()
	if err := d.WriteFiles(folder); err != nil {
		t.Fatal(err)
	}
	cover, err := layers.OpenRaster(filepath.Join(folder, "ground", "cover.tif"), 1)
	if err != nil {
		t.Fatal(err)
	}
	defer cover.Close()
	codes := make([]uint8, Cols*Rows)
	if err := cover.ReadUint8(0, 0, Cols, Rows, codes); err != nil {
		t.Fatal(err)
	}
	for i, c := range codes {
		if Cover(c) != d.Cover[i] {
			t.Fatalf("cell %d: %d, want %d", i, c, d.Cover[i])
		}
	}
	named := 0
	for _, c := range cover.Info().Classes {
		if c.Value > 0 && c.Name == Cover(c.Value).String() {
			named++
		}
	}
	if named != covers {
		t.Errorf("%d classes have their names", named)
	}
	ponds, err := layers.OpenVector(filepath.Join(folder, "ground", "ponds.geojson"), "")
	if err != nil {
		t.Fatal(err)
	}
	defer ponds.Close()
	n := 0
	for f, err := range ponds.Features(context.Background(), layers.FeatureQuery{}) {
		if err != nil || f.Attributes["id"] != d.Ponds[n].ID || f.Attributes["permanence"] != string(d.Ponds[n].Permanence) {
			t.Fatalf("pond %d: %v, %v", n, f.Attributes, err)
		}
		n++
	}
	if n != len(d.Ponds) {
		t.Errorf("%d ponds, want %d", n, len(d.Ponds))
	}
}

// All the rain that falls leaves by an outlet.
func TestDrainageLosesNoWater(t *testing.T) {
	rng := rand.New(rand.NewPCG(11, 1)) // seed 11, 1
	l := newLattice(60, 40, 10, 0, 0)
	for i := range l.v {
		l.v[i] = 20 * rng.Float64()
	}
	outlet := func(i int) bool { return i%60 == 0 }
	d := drain(l, outlet)
	left := 0.0
	for i := range l.v {
		if d.to[i] == int32(i) {
			left += d.area[i]
		}
		if d.filled[i] < l.v[i] || d.to[i] != int32(i) && d.filled[d.to[i]] >= d.filled[i] {
			t.Fatalf("cell %d drains upwards", i)
		}
	}
	if want := 60 * 40 * 100.0; math.Abs(left-want) > 1e-6 {
		t.Errorf("%.1f m² drain away, want %.1f", left, want)
	}
}

func TestQueueIsInOrder(t *testing.T) {
	rng := rand.New(rand.NewPCG(12, 1)) // seed 12, 1
	var q queue
	for i := range 5000 {
		q.push(math.Floor(100*rng.Float64()), 5000-i)
	}
	before := queued{-1, 0}
	for !q.empty() {
		key, at := q.pop()
		if next := (queued{key, int32(at)}); next.before(before) {
			t.Fatalf("%v came after %v", next, before)
		} else {
			before = next
		}
	}
}

// A way may never cost more than the straight line of nodes beside it, and the
// search with a goal and the one without must agree.
func TestRoutesCostTheLeast(t *testing.T) {
	rng := rand.New(rand.NewPCG(13, 1)) // seed 13, 1
	bumps := newNoise(13, "test")
	ground := newLattice(Cols, Rows, Cell, 0, 0).fill(func(x, y float64) float64 { return 40 * bumps.rough(x/900, y/900, 3, 0.5) })
	net := newNetwork(ground, 0.06, func(orb.Point) float64 { return 1 })
	from := orb.Point{9000, 9000}
	net.built[nodeAt(from)] = true
	all := net.fromBuilt()
	for range 3 {
		to := orb.Point{between(rng, 7000, 12000), between(rng, 7000, 12000)}
		cost := 0.0
		nodes := net.route(from, to)
		for i := 1; i < len(nodes); i++ {
			cost += net.step(nodes[i-1], nodes[i], apart(nodePlace(nodes[i-1]), nodePlace(nodes[i])))
		}
		if want := all.paid[nodeAt(to)]; math.Abs(cost-want) > 1e-6*want || cost < apart(from, to)-100 {
			t.Errorf("to %v: %.3f, want %.3f", to, cost, want)
		}
	}
}

// Distances over sides and corners lie between the straight distance and 8.3 %
// more (Borgefors 1986, Comput. Vision Graph. 34:344-371, for weights 1 and √2).
func TestDistances(t *testing.T) {
	from := []int{5*Cols + 7, 300*Cols + 500, 719 * Cols}
	far := distances(1e9, func(i int) bool { return i == from[0] || i == from[1] || i == from[2] })
	rng := rand.New(rand.NewPCG(14, 1)) // seed 14, 1
	for range 2000 {
		i := rng.IntN(Cols * Rows)
		want := math.Inf(1)
		for _, f := range from {
			want = min(want, apart(place(i), place(f)))
		}
		if far[i] < want-1e-6 || far[i] > 1.0824*want+1e-6 {
			t.Fatalf("cell %d: %.2f, straight %.2f", i, far[i], want)
		}
	}
}
