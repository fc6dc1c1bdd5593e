package layers

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
)

// RoadPressure is how hard the worst road near by presses on a cell:
//
//	max over roads of (1 − e^(−C·V)) · max(0, 1 − d/Effect)
//
// V is the road's vehicles per day and d the exact distance in metres to the
// nearest cell that the road touches. 1 − e^(−C·V) is the chance that a crossing
// animal is killed; for amphibians C lies between 1.3e-4 and 2.9e-4, from the
// deaths that Hels and Buchwald (2001, Biological Conservation 99:331-340)
// measured.
//
// Unit: none, 0 to 1. Reach: Effect. Never unknown: a road without a number of
// vehicles is an error, not a road without traffic.
type RoadPressure struct {
	Layer  string
	Field  string  // attribute with V; the layer's own TrafficField if empty
	C      float64 // per vehicle a day
	Effect float64 // metres
}

// Key implements [Measure].
func (p RoadPressure) Key() string {
	return fmt.Sprintf("road pressure layer=%q field=%q c=%s effect=%s", p.Layer, p.Field, keyNumber(p.C), keyNumber(p.Effect))
}

// Reach implements [Measure].
func (p RoadPressure) Reach() float64 { return p.Effect }

// LayerNames implements [Measure].
func (p RoadPressure) LayerNames() []string { return []string{p.Layer} }

// Unit implements [Measure].
func (p RoadPressure) Unit() string { return "" }

// Check implements [Measure].
func (p RoadPressure) Check(r Reader) error {
	_, _, err := p.traffic(r)
	return err
}

// trafficGroup is the roads with the same number of vehicles.
type trafficGroup struct {
	strength float64  // 1 − e^(−C·V)
	values   []string // as the attribute writes V
}

// traffic finds the attribute and groups its values.
func (p RoadPressure) traffic(r Reader) (field string, groups []trafficGroup, err error) {
	layer, err := layerOfKind(r, "road pressure", p.Layer, Features)
	if err != nil {
		return "", nil, err
	}
	if err := checkMetres("road pressure", p.Layer, "the effect distance", p.Effect); err != nil {
		return "", nil, err
	}
	if !(p.C > 0) || math.IsInf(p.C, 0) {
		return "", nil, fmt.Errorf("layers: road pressure of layer %q: c is %g; it must be more than 0", p.Layer, p.C)
	}
	if field = p.Field; field == "" {
		field = layer.TrafficField
	}
	if err := checkField(layer, "road pressure", field); err != nil {
		return "", nil, err
	}
	err = eachTraffic(layer, field, func(value string, v float64) {
		groups = addTraffic(groups, -math.Expm1(-p.C*v), value)
	})
	if err != nil {
		return "", nil, fmt.Errorf("layers: road pressure of layer %q: %w", p.Layer, err)
	}
	return field, groups, nil
}

// eachTraffic shows the numbers of vehicles a day that occur in an attribute, as
// it writes them and as numbers.
func eachTraffic(l *Layer, field string, see func(value string, v float64)) error {
	for _, value := range l.Fields[field] {
		v, err := vehicles(value)
		if err != nil {
			return fmt.Errorf("attribute %q %w; hint: give every road a number, or keep the others out with where", field, err)
		}
		see(value, v)
	}
	return nil
}

func vehicles(value string) (float64, error) {
	if strings.TrimSpace(value) == "" {
		return 0, fmt.Errorf("is missing for some roads")
	}
	v, err := strconv.ParseFloat(strings.TrimSpace(value), 64)
	if err != nil || !(v >= 0) || math.IsInf(v, 0) {
		return 0, fmt.Errorf("has %q, which is no number of vehicles a day", value)
	}
	return v, nil
}

// addTraffic leaves out roads without traffic, which press on nothing.
func addTraffic(groups []trafficGroup, strength float64, value string) []trafficGroup {
	if strength <= 0 {
		return groups
	}
	at := slices.IndexFunc(groups, func(g trafficGroup) bool { return g.strength == strength })
	if at < 0 {
		return append(groups, trafficGroup{strength, []string{value}})
	}
	groups[at].values = append(groups[at].values, value)
	return groups
}

// Eval implements [Measure].
func (p RoadPressure) Eval(r Reader, w Window) (Block, error) {
	field, groups, err := p.traffic(r)
	if err != nil {
		return Block{}, err
	}
	cell := r.Grid().Cell
	limit := squaredCells(p.Effect, cell)
	grown := w.Grow(wholeRoot(limit))
	out := Block{Window: w, Values: make([]float32, w.Cells())}
	for _, g := range groups {
		roads, err := r.Burn(p.Layer, Burn{Kind: BurnTouch, Field: field, Where: g.values}, grown)
		if err != nil {
			return Block{}, err
		}
		if anyBurned(roads) {
			p.press(out, g.strength, cell, limit, burnedMembers(roads))
		}
	}
	return out, nil
}

// press raises each cell to the pressure of one group of roads.
func (p RoadPressure) press(out Block, strength, cell float64, limit int, roads func(int, []int32)) {
	distanceRows(out.Window, limit, roads, func(row int, squared []int64) {
		to := out.ValueRow(row)
		for i, s := range squared {
			if s == edtFar {
				continue
			}
			near := 1 - cell*math.Sqrt(float64(s))/p.Effect
			to[i] = max(to[i], float32(strength*max(near, 0)))
		}
	})
}

// anyBurned tells whether a feature touches any cell of a block.
func anyBurned(b Block) bool {
	for row := b.Window.Row; row < b.Window.Bottom(); row++ {
		for _, v := range b.ValueRow(row) {
			if v > 0 {
				return true
			}
		}
	}
	return false
}
