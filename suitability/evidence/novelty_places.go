package evidence

import (
	"cmp"
	"slices"
	"strings"

	"github.com/paulmach/orb"

	"tussock/layers"
	"tussock/layers/records"
)

// AcceptedPlace is where an accepted record lies, in the grid's CRS.
type AcceptedPlace struct {
	At           orb.Point
	UncertaintyM float64 // 0 where nobody knows
	Fine         bool    // it may be compared with the ground under it
}

// AcceptedPlaces are the places of a species' sound and recent records, by its
// name in [records.Cleaned], in an order of their own.
func AcceptedPlaces(c *records.Cleaning, name string) []AcceptedPlace {
	var list []AcceptedPlace
	for i := range c.Records {
		r := &c.Records[i]
		if !strings.EqualFold(r.Name, name) || r.Status == records.Absent || r.Use != records.Fine && r.Use != records.Coarse {
			continue
		}
		p := AcceptedPlace{At: r.Point, Fine: r.Use == records.Fine}
		if r.UncertaintyM != nil {
			p.UncertaintyM = *r.UncertaintyM
		}
		list = append(list, p)
	}
	slices.SortFunc(list, func(a, b AcceptedPlace) int {
		return cmp.Or(cmp.Compare(a.At[0], b.At[0]), cmp.Compare(a.At[1], b.At[1]), cmp.Compare(a.UncertaintyM, b.UncertaintyM))
	})
	return list
}

// nearPlaces marks the cells of a window whose centre is no farther than far from
// where some record may lie: its place, or anywhere within its uncertainty.
func nearPlaces(g layers.Grid, w layers.Window, places []AcceptedPlace, far float64) []bool {
	marked := make([]bool, w.Cells())
	for _, p := range places {
		r := far + p.UncertaintyM
		box := g.Covering(orb.Bound{Min: orb.Point{p.At[0] - r, p.At[1] - r}, Max: orb.Point{p.At[0] + r, p.At[1] + r}}).Grow(1).Intersect(w)
		for row := box.Row; row < box.Bottom(); row++ {
			for col := box.Col; col < box.Right(); col++ {
				c := g.Centre(col, row)
				dx, dy := c[0]-p.At[0], c[1]-p.At[1]
				if float64(dx*dx)+float64(dy*dy) <= r*r {
					marked[(row-w.Row)*w.Cols+col-w.Col] = true
				}
			}
		}
	}
	return marked
}
