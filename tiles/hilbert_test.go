package tiles

import (
	"testing"

	"pgregory.net/rapid"
)

// PMTiles, version 3: the printed rows, and all of zooms 0 to 3, which tell the
// curve from the three look-alikes that agree with it to zoom 2.
func TestHilbertIDs(t *testing.T) {
	var rows []struct {
		Z, X, Y int
		ID      uint64
	}
	referenceJSON(t, "pmtiles_ids.json", &rows)
	rows = append(rows, struct {
		Z, X, Y int
		ID      uint64
	}{12, 3423, 1763, 19078479})
	deep := 0
	for _, row := range rows {
		tile := Tile{row.Z, row.X, row.Y}
		if got := tile.ID(); got != row.ID {
			t.Errorf("%v: id %d, want %d", tile, got, row.ID)
		}
		if back, ok := tileOf(row.ID); !ok || back != tile {
			t.Errorf("id %d: %v, want %v", row.ID, back, tile)
		}
		if row.Z == 3 {
			deep++
		}
	}
	if deep != 64 {
		t.Errorf("%d rows of zoom 3, want 64", deep)
	}
}

func TestHilbertIDsComeBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		z := rapid.IntRange(0, MaxZoom).Draw(t, "z")
		tile := Tile{z, rapid.IntRange(0, 1<<z-1).Draw(t, "x"), rapid.IntRange(0, 1<<z-1).Draw(t, "y")}
		if back, ok := tileOf(tile.ID()); !ok || back != tile {
			t.Fatalf("%v has id %d, which is %v", tile, tile.ID(), back)
		}
		if next, ok := tileOf(tile.ID() + 1); ok && next.Z == z {
			if step := abs(next.X-tile.X) + abs(next.Y-tile.Y); step != 1 {
				t.Fatalf("%v and %v follow each other but are not neighbours", tile, next)
			}
		}
	})
	if _, ok := tileOf(zoomStart(MaxZoom + 1)); ok {
		t.Error("an id beyond the last zoom was taken for a tile")
	}
	if _, ok := tileOf(^uint64(0)); ok {
		t.Error("the largest id was taken for a tile")
	}
}

func abs(v int) int { return max(v, -v) }

func TestRangeIsWalkedAlongTheCurve(t *testing.T) {
	cover := tileRange{z: 5, minX: 3, minY: 7, maxX: 12, maxY: 19}
	seen, last := 0, uint64(0)
	for tile := range cover.within(Tile{}) {
		if tile.ID() <= last {
			t.Fatalf("%v comes out of order", tile)
		}
		if tile.X < 3 || tile.X > 12 || tile.Y < 7 || tile.Y > 19 {
			t.Fatalf("%v is outside", tile)
		}
		seen, last = seen+1, tile.ID()
	}
	if seen != cover.count() || seen != 130 {
		t.Errorf("%d tiles, want 130", seen)
	}
}
