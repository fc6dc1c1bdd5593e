package land

import (
	"testing"

	"github.com/paulmach/orb"
)

func TestTrafficOfRoads(t *testing.T) {
	both(t, func(t *testing.T, d *District) {
		bounds := map[RoadClass][2]int{Trunk: {trunkTraffic, trunkTraffic}, Main: {mainTraffic, mainTraffic}, Lane: {150, 900}, Street: {300, 1200}}
		seen := map[RoadClass]int{}
		for _, r := range d.Roads {
			seen[r.Class]++
			if b, known := bounds[r.Class]; !known || r.VehiclesPerDay < b[0] || r.VehiclesPerDay > b[1] || r.Name == "" || len(r.Path) < 2 {
				t.Errorf("%q, %s, %d vehicles a day, %d points", r.Name, r.Class, r.VehiclesPerDay, len(r.Path))
			}
		}
		if seen[Trunk] == 0 || seen[Main] == 0 || seen[Lane] < 40 || seen[Street] < 20 {
			t.Errorf("%v", seen)
		}
	})
}

// TestTownsAreReached walks the network from the trunk road: roads are joined
// where an end of one lies on the other.
func TestTownsAreReached(t *testing.T) {
	both(t, func(t *testing.T, d *District) {
		const touch = 4.0 // m
		var roads []Road
		for _, r := range d.Roads {
			if r.Class != Street {
				roads = append(roads, r)
			}
		}
		joined := func(a, b orb.LineString) bool {
			return a.Bound().Pad(touch).Intersects(b.Bound()) &&
				(apartFrom(a, b[0]) < touch || apartFrom(a, b[len(b)-1]) < touch || apartFrom(b, a[0]) < touch || apartFrom(b, a[len(a)-1]) < touch)
		}
		reached := make([]bool, len(roads))
		todo := []int{0}
		for reached[0] = true; len(todo) > 0; todo = todo[1:] {
			for k := range roads {
				if !reached[k] && joined(roads[todo[0]].Path, roads[k].Path) {
					reached[k] = true
					todo = append(todo, k)
				}
			}
		}
		for _, town := range d.Towns {
			near := false
			for k, r := range roads {
				near = near || reached[k] && apartFrom(r.Path, town.At) < 60
			}
			if !near {
				t.Errorf("no road of the network comes to %s", town.Name)
			}
		}
		lost := 0
		for k := range roads {
			if !reached[k] {
				lost++
			}
		}
		if lost > len(roads)/20 {
			t.Errorf("%d of %d roads are joined to nothing", lost, len(roads))
		}
	})
}
