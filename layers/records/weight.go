package records

import (
	"cmp"
	"strings"
	"time"

	"tussock/layers"
)

// Points are the places of a species' records that may shape a map, by its name
// in [Cleaned], with their weights, in the order of the records. Only those that
// may be used finely count, and only those that met the species. A weight is
//
//	age · 1/(1 + (u/r)²)
//
// with age 1 for a current record and 0.5 for one of recent history (own choice:
// an assumption), u the record's uncertainty and r the radius at which the
// record is felt, both in metres (own choice: an assumption). Reference is the
// day from which ages count.
func (c *Cleaning) Points(scientific string, reference time.Time, radius float64) []layers.WeightedPoint {
	var points []layers.WeightedPoint
	for i := range c.Records {
		r := &c.Records[i]
		if !strings.EqualFold(r.Name, scientific) {
			continue
		}
		if w := c.weight(r, reference, radius); w > 0 {
			points = append(points, layers.WeightedPoint{At: r.Point, Weight: w})
		}
	}
	return points
}

// recentWeight is what a record of recent history counts beside a current one
// (own choice: an assumption, no source).
const recentWeight = 0.5

// weight is 0 for an absence, for a record that may not shape a map, and for one
// older than recent history.
func (c *Cleaning) weight(r *Cleaned, reference time.Time, radius float64) float64 {
	if r.Use != Fine || r.Status == Absent || r.UncertaintyM == nil {
		return 0
	}
	q := *r.UncertaintyM / radius
	switch {
	case older(r.Date, cmp.Or(c.recent, DefaultRecent), reference):
		return 0
	case older(r.Date, cmp.Or(c.current, DefaultCurrent), reference):
		return recentWeight / (1 + q*q)
	}
	return 1 / (1 + q*q)
}
