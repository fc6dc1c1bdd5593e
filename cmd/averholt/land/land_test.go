package land

import (
	"bytes"
	"math"
	"os"
	"path/filepath"
	"sync"
	"testing"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
)

// Three districts serve all tests: one, the same again, and one of another seed.
var (
	first = sync.OnceValue(func() *District { return New(1) })
	again = sync.OnceValue(func() *District { return New(1) })
	other = sync.OnceValue(func() *District { return New(2) })
)

// TestMain makes the three side by side.
func TestMain(m *testing.M) {
	for _, made := range []func() *District{first, again, other} {
		go made()
	}
	os.Exit(m.Run())
}

func TestSameSeedSameBytes(t *testing.T) {
	t.Parallel()
	one, two := t.TempDir(), t.TempDir()
	if err := first().WriteFiles(one); err != nil {
		t.Fatal(err)
	}
	if err := again().WriteFiles(two); err != nil {
		t.Fatal(err)
	}
	files := 0
	err := filepath.WalkDir(one, func(path string, e os.DirEntry, err error) error {
		if err != nil || e.IsDir() {
			return err
		}
		files++
		rel, _ := filepath.Rel(one, path)
		a, errA := os.ReadFile(path)
		b, errB := os.ReadFile(filepath.Join(two, rel))
		if errA != nil || errB != nil || !bytes.Equal(a, b) {
			t.Errorf("%s differs: %v, %v", rel, errA, errB)
		}
		return nil
	})
	if err != nil || files != 19 {
		t.Errorf("%d files, %v", files, err)
	}
}

func TestAnotherSeedAnotherDistrict(t *testing.T) {
	t.Parallel()
	changed := 0
	for i, c := range first().Cover {
		if c != other().Cover[i] {
			changed++
		}
	}
	if share := float64(changed) / (Cols * Rows); share < 0.3 {
		t.Errorf("only %.2f of the cells differ", share)
	}
}

// both runs a test on two seeds.
func both(t *testing.T, test func(t *testing.T, d *District)) {
	t.Parallel()
	t.Run("seed 1", func(t *testing.T) { test(t, first()) })
	t.Run("seed 2", func(t *testing.T) { test(t, other()) })
}

// The bounds are the brief of the district: areas of classes in hectares.
func TestSharesOfLandCover(t *testing.T) {
	both(t, func(t *testing.T, d *District) {
		var ha [covers + 1]float64
		for _, c := range d.Cover {
			ha[c] += Cell * Cell / 1e4
		}
		if ha[0] != 0 {
			t.Errorf("%.1f ha have no class", ha[0])
		}
		for c, bounds := range map[Cover][2]float64{
			DryHeath: {600, 1200}, WetHeath: {150, 400}, RockBarren: {60, 160}, FenReedbed: {180, 450}, Bog: {15, 90}, OpenWater: {140, 350},
			BroadleafWood: {1200, 3000}, ConiferClosed: {600, 1050}, ConiferOpen: {180, 500}, Scrub: {1500, 3500}, RoughGrass: {2000, 5500},
			ImprovedGrass: {8000, 16000}, Arable: {14000, 24000}, Gardens: {280, 520}, Built: {120, 300}, SandPit: {22, 42}, RailVerge: {30, 90},
		} {
			if ha[c] < bounds[0] || ha[c] > bounds[1] {
				t.Errorf("%s: %.0f ha, want %.0f to %.0f", c, ha[c], bounds[0], bounds[1])
			}
		}
	})
}

// The areas that the district's description gives to its places, ha; Emberlow's
// outline takes in the road and the farmland between its fragments.
func TestAreasOfPlaces(t *testing.T) {
	both(t, func(t *testing.T, d *District) {
		for name, bounds := range map[string][2]float64{
			"Great Ling Common": {640, 720}, "Emberlow Heath": {140, 230}, "Skarn Tops": {205, 235}, "Mirkwater Fen": {390, 430},
			"Sedgeley Carr": {80, 100}, "Kelder Plantation": {1100, 1200}, "Dunstall Pits": {50, 60},
			"Brackenford": {240, 290}, "Sallowby": {80, 105}, "Pinnick": {33, 45}, "Thorle": {18, 27},
		} {
			p, known := d.PlaceNamed(name)
			ha := planar.Area(p.Outline) / 1e4
			if !known || ha < bounds[0] || ha > bounds[1] {
				t.Errorf("%s: %.0f ha, want %.0f to %.0f", name, ha, bounds[0], bounds[1])
			}
			if col, row := d.CellOf(p.At); col < 0 || row < 0 || col >= Cols || row >= Rows {
				t.Errorf("%s lies outside, at %v", name, p.At)
			}
		}
		if _, known := d.PlaceNamed("Averholt Castle"); known {
			t.Error("a place that is none")
		}
	})
}

func TestElevation(t *testing.T) {
	both(t, func(t *testing.T, d *District) {
		least, most := float32(math.Inf(1)), float32(math.Inf(-1))
		for _, z := range d.Elevation {
			least, most = min(least, z), max(most, z)
		}
		if least < lowest || most > highest || most < 200 || least > 6 {
			t.Errorf("from %.1f to %.1f m", least, most)
		}
		skarn, _ := d.PlaceNamed("Skarn Tops")
		high, all := 0, 0
		for i, z := range d.Elevation {
			at := d.Grid.Centre(i%Cols, i/Cols)
			if skarn.Outline.Bound().Contains(at) && planar.PolygonContains(skarn.Outline, at) {
				all++
				if z >= 150 {
					high++
				}
			}
		}
		if all == 0 || float64(high)/float64(all) < 0.75 {
			t.Errorf("%d of %d cells of Skarn Tops lie at 150 m or above", high, all)
		}
	})
}

func TestRiverNeverRises(t *testing.T) {
	both(t, func(t *testing.T, d *District) {
		before := float32(math.Inf(1))
		for _, p := range d.River[0].Path {
			i := d.Index(d.CellOf(p))
			if d.Elevation[i] > before {
				t.Fatalf("it rises from %.3f to %.3f m at %v", before, d.Elevation[i], p)
			}
			if before = d.Elevation[i]; d.Cover[i] != OpenWater {
				t.Fatalf("it is %s at %v", d.Cover[i], p)
			}
		}
		path := d.River[0].Path
		if path[0][1] < north-60 || path[len(path)-1][1] > north-height+60 {
			t.Errorf("it does not run from the north edge to the south: %v to %v", path[0], path[len(path)-1])
		}
		if bends := lengthOf(path) / math.Abs(path[0][1]-path[len(path)-1][1]); bends < 1.2 || bends > 2.2 {
			t.Errorf("sinuosity %.2f", bends)
		}
	})
}

func TestRailway(t *testing.T) {
	both(t, func(t *testing.T, d *District) {
		if km := lengthOf(d.Railway[0].Path) / 1000; math.Abs(km-14) > 1 {
			t.Errorf("%.2f km of railway, want 14", km)
		}
	})
}

// Soils follow what grows and what lies below.
func TestSoilsFitTheGround(t *testing.T) {
	both(t, func(t *testing.T, d *District) {
		share := func(c Cover, s ...Soil) float64 {
			fit, all := 0.0, 0.0
			for i, own := range d.Cover {
				if own != c {
					continue
				}
				all++
				for _, soil := range s {
					if d.Soil[i] == soil {
						fit++
					}
				}
			}
			return fit / all
		}
		for name, v := range map[string]float64{
			"dry heath on sand or rock": share(DryHeath, Sand, Rock), "bog on peat": share(Bog, Peat), "reed on peat or wet clay": share(FenReedbed, Peat, Clay, Loam),
			"rock on rock": share(RockBarren, Rock), "pits in sand": share(SandPit, Sand), "pine on sand": share(ConiferClosed, Sand),
		} {
			if v < 0.85 {
				t.Errorf("%s: %.2f", name, v)
			}
		}
	})
}

func apartFrom(path orb.LineString, p orb.Point) float64 {
	least := math.Inf(1)
	for i := 1; i < len(path); i++ {
		least = min(least, offLine(p, path[i-1], path[i]))
	}
	return least
}
