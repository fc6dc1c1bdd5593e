package layers

import (
	"fmt"
	"math"
)

// TerrainKind is what is taken from elevation.
type TerrainKind uint8

// What may be taken from elevation.
const (
	Slope     TerrainKind = iota + 1 // degrees from level
	Aspect                           // degrees clockwise from grid north that the slope faces; unknown where level
	HeatLoad                         // index of warmth from slope, aspect and latitude
	Roughness                        // greatest less least of the nine elevations
)

var terrainNames = [...]string{"", "slope", "aspect", "heat load", "roughness"}

func (k TerrainKind) String() string {
	if int(k) < len(terrainNames) {
		return terrainNames[k]
	}
	return ""
}

// ParseTerrainKind reads a kind's name.
func ParseTerrainKind(name string) (TerrainKind, error) {
	for i, known := range terrainNames {
		if i > 0 && name == known {
			return TerrainKind(i), nil
		}
	}
	return 0, fmt.Errorf("layers: %q is nothing to take from elevation; use slope, aspect, heat load or roughness", name)
}

// Terrain is the shape of the ground at a cell, from the 3 × 3 cells around it
// (a b c / d e f / g h i, north up), with Horn's (1981, Proc. IEEE 69:14-47)
// weights:
//
//	p = ((c + 2f + i) − (a + 2d + g)) / 8·cell       rise eastwards
//	q = ((a + 2b + c) − (g + 2h + i)) / 8·cell       rise northwards
//	slope     = atan √(p² + q²)
//	aspect    = direction of (−p, −q), 0 to 360
//	roughness = greatest − least of a … i
//	heat load = exp(−1.236 + 1.350 cos L cos S − 1.376 cos A sin S sin L
//	                − 0.331 sin L sin S + 0.375 sin A sin S)
//
// with latitude L, slope S, and aspect folded about the north-east to south-west
// line, A = |180 − |aspect − 225||; south of the equator about the south-east to
// north-west line, with |L|. It is equation 2 of McCune and Keon (2002, J. Veg.
// Sci. 13:603-606), for slopes up to 60 degrees (a steeper one counts as 60) and
// latitudes up to 60.
//
// Elevation must be in metres for all but roughness. Aspect is measured from
// grid north. Unit: degrees, none for heat load, the layer's for roughness.
// Reach: one cell. Unknown: where any of the nine cells is, where aspect has no
// direction, and for heat load beyond latitude 60.
type Terrain struct {
	Layer string
	What  TerrainKind
	// Latitude is one latitude in degrees for the heat load of all cells; nil
	// takes each cell's own from the grid's CRS.
	Latitude *float64
}

// terrainReach stands for one cell, whatever its size: a reach is rounded up to
// whole cells, and one metre is at least one cell.
const terrainReach = 1

// Key implements [Measure].
func (t Terrain) Key() string {
	key := fmt.Sprintf("%s layer=%q", t.What, t.Layer)
	if t.What == HeatLoad && t.Latitude != nil {
		key += " latitude=" + keyNumber(*t.Latitude)
	}
	return key
}

// Reach implements [Measure].
func (t Terrain) Reach() float64 { return terrainReach }

// LayerNames implements [Measure].
func (t Terrain) LayerNames() []string { return []string{t.Layer} }

// Unit implements [Measure].
func (t Terrain) Unit() string {
	switch t.What {
	case Slope, Aspect:
		return "degrees"
	case Roughness:
		return "m"
	}
	return ""
}

// Check implements [Measure].
func (t Terrain) Check(r Reader) error {
	if t.What == 0 || t.What.String() == "" {
		return fmt.Errorf("layers: terrain of layer %q: nothing is said to be taken; use slope, aspect, heat load or roughness", t.Layer)
	}
	if _, err := layerOfKind(r, t.What.String(), t.Layer, Quantity); err != nil {
		return err
	}
	if t.What != HeatLoad {
		return nil
	}
	return t.checkLatitude(r.Grid())
}

// Eval implements [Measure].
func (t Terrain) Eval(r Reader, w Window) (Block, error) {
	if err := t.Check(r); err != nil {
		return Block{}, err
	}
	source, err := r.Read(t.Layer, w.Grow(1))
	if err != nil {
		return Block{}, err
	}
	out := NewValues(w)
	cell := r.Grid().Cell
	switch t.What {
	case Slope:
		overSlopes(source, out, cell, slopeDegrees)
	case Aspect:
		overSlopes(source, out, cell, aspectDegrees)
	case Roughness:
		roughness(source, out)
	case HeatLoad:
		return out, t.heatLoad(r.Grid(), source, out)
	}
	return out, nil
}

func slopeDegrees(east, north float64) float64 {
	return math.Atan(math.Sqrt(float64(east*east)+float64(north*north))) * (180 / math.Pi)
}

func aspectDegrees(east, north float64) float64 {
	if east == 0 && north == 0 {
		return math.NaN()
	}
	degrees := math.Atan2(-east, -north) * (180 / math.Pi)
	if degrees < 0 {
		degrees += 360
	}
	if float32(degrees) >= 360 {
		return 0
	}
	return degrees
}
