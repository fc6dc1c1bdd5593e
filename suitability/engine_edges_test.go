package suitability

import (
	"testing"

	"tussock/layers"
)

// A layer that knows nothing gives surfaces without a known cell, and a grid of
// one cell is a grid.
func TestEdgesOfTheWorld(t *testing.T) {
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

func beiLike() *Profile {
	return &Profile{ID: "height", Requisites: []Requisite{{ID: "all", Weight: 1, Criteria: []Criterion{
		{ID: "height", Weight: 1, Measure: layers.Mean{Layer: "elev", Radius: 80}, Rating: Curve{{0, 0}, {300, 1}}}}}}}
}
