package land

import (
	"math"

	"github.com/paulmach/orb"
)

// zone is what a cell was set aside for, before its cover is decided.
type zone uint8

const (
	farmland zone = iota // whatever nobody claimed
	heathZone
	emberZone
	hillZone
	fenZone
	carrZone
	pitZone
	pineZone
	townZone
	waterZone // the river, the canal and the meres
	railZone
	woodZone
	slopeZone // the hill's slopes above the last fields
	zones
)

// maker holds what the steps of the making share. All slices have one entry a
// cell; distances are in metres.
type maker struct {
	*District
	river  *river
	relief *relief
	ground *lattice  // elevation, m
	water  *drainage // of the ground, into the river and over the edge
	slope  []float64 // rise per metre
	wet    []float64 // wetness, about 0 (dry crest) to 1 (spring, hollow, stream side)
	hollow []float64 // depth of closed hollows, m
	toBed  []float64 // distance to the river
	toRill []float64 // distance to the river or a brook

	zone   []zone
	road   []uint8 // rank of the road through a cell: 0 none, 1 lane or street, 2 main, 3 trunk
	brook  []bool
	brooks [][]orb.Point
	parcel []int32 // field that a cell belongs to; -1 none
	toRoad []float64
	toTown []float64

	network *network
	rail    []orb.Point
	canal   []orb.Point
	dykes   [][]orb.Point
	hamlets []orb.Point
	towns   []*settlement
}

// at is the index of the cell that holds a point of the maker's coordinates:
// metres east and south of the north-west corner. Points beyond the edge take
// the nearest cell.
func at(p orb.Point) int {
	return clampInt(floor(p[1]/Cell), 0, Rows-1)*Cols + clampInt(floor(p[0]/Cell), 0, Cols-1)
}

// place is the middle of a cell.
func place(i int) orb.Point {
	return orb.Point{(float64(i%Cols) + 0.5) * Cell, (float64(i/Cols) + 0.5) * Cell}
}

// inside tells whether a point lies in the district, a margin from its edge.
func inside(p orb.Point, margin float64) bool {
	return p[0] >= margin && p[1] >= margin && p[0] < width-margin && p[1] < height-margin
}

// onMap turns the maker's coordinates into the grid's.
func onMap(p orb.Point) orb.Point { return orb.Point{west + p[0], north - p[1]} }

func lineOnMap(path []orb.Point) orb.LineString {
	out := make(orb.LineString, len(path))
	for i, p := range path {
		out[i] = onMap(p)
	}
	return out
}

// offMap is the reverse of onMap.
func offMap(p orb.Point) orb.Point { return orb.Point{p[0] - west, north - p[1]} }

// cellsAlong lists the cells that a line passes, in order, without repeats in a
// row.
func cellsAlong(path []orb.Point) []int {
	var cells []int
	for i, p := range path {
		if i == 0 {
			continue
		}
		a := path[i-1]
		n := max(1, int(math.Ceil(apart(a, p)/5)))
		for k := range n + 1 {
			q := mix(a, p, float64(k)/float64(n))
			if !inside(q, 0) {
				continue
			}
			if c := at(q); len(cells) == 0 || cells[len(cells)-1] != c {
				cells = append(cells, c)
			}
		}
	}
	return cells
}
