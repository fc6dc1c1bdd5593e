package layers

import (
	"testing"

	"github.com/paulmach/orb"
)

// Ponds and roads from real files: what a measure sees of a feature's
// attributes, and the same bytes from the set and from a block's reader.
func TestNearbyBestFromFiles(t *testing.T) {
	t.Parallel()
	rng := alignSeed(t)
	g := meadowGrid(t)
	scores := []string{"0.9", "", "0.4", "0.7", "0", "0.25"}
	ponds := featureFile(t, "EPSG:32617", meadowFeatures(rng, 4, 2), func(i int) string { return scores[i] })
	roads := featureFile(t, "EPSG:32617", meadowFeatures(rng, 0, 5), func(i int) string { return keyNumber(float64(4000 * i)) })
	s := openedSet(t, g,
		LayerSpec{Name: "ponds", Kind: Features, Source: ponds},
		LayerSpec{Name: "roads", Kind: Features, Source: roads, TrafficField: "kind"})
	layer, _ := s.Layer("ponds")
	seen := 0
	err := layer.near(g.Window().Grow(100), 0, []string{"kind", "n", "nothing"}, func(p *shape, attributes map[string]string) {
		score, known := attributes["kind"]
		if want := scores[seen]; score != want || known != (want != "") || attributes["n"] != keyNumber(float64(seen)) {
			t.Errorf("feature %d: attributes %v", seen, attributes)
		}
		seen++
	})
	if err != nil || seen != len(scores) {
		t.Fatalf("%d features seen, %v", seen, err)
	}
	n := NearbyBest{Layer: "ponds", Score: testScore("kind"), Fade: testFade(200), Barrier: Barrier{"roads", 8000}}
	whole := evalOf(t, n, s, g.Window())
	for _, part := range splitWindow(g.Window(), rng.IntN) {
		block := s.Block(map[string]float64{"ponds": n.Reach(), "roads": n.Reach()}, part)
		if !sameBits(evalOf(t, n, block, part), whole.Part(part)) {
			t.Errorf("window %+v differs from the whole", part)
		}
	}
}

func TestNearbyBestOfALayerNeverOpened(t *testing.T) {
	m := newMemoryReader(10)
	m.layers["ponds"] = &Layer{Name: "ponds", Kind: Features, Fields: map[string][]string{"score": nil}}
	n := NearbyBest{Layer: "ponds", Score: testScore("score"), Fade: testFade(20)}
	if _, err := n.Eval(m, Window{Cols: 1, Rows: 1}); err == nil {
		t.Error("a layer without features was measured")
	}
}

// A point, a line of one place and a polygon without ground have distances too.
func TestSegmentsWithoutLength(t *testing.T) {
	for _, g := range []orb.Geometry{orb.Point{3, -4}, orb.LineString{{3, -4}, {3, -4}}, orb.LineString{{3, -4}}, orb.Polygon{{{3, -4}, {3, -4}, {3, -4}, {3, -4}}}} {
		s, err := newShape(0, orb.Clone(g), unitGrid)
		if err != nil {
			t.Fatal(err)
		}
		for _, edge := range segmentsOf(&s) {
			if d := edge.squared(0, 0); d != 25 {
				t.Errorf("%T: %g from the origin, want 25", g, d)
			}
		}
	}
}
