package evidence

import (
	"math"
	"sort"

	"tussock/layers"
	"tussock/layers/records"
	"tussock/suitability"
)

// MeasureUse is how records choose by one measure of a profile: by tenths of the
// ground, or by class.
type MeasureUse struct {
	Measure layers.Measure
	Parts   []string         // the ids of the parts of the profile that look at it
	Ratios  []SelectionRatio // by tenths of the ground in range, or by class, without classes that neither has
	ByClass bool             // a ratio's Class is a code then
	Unknown int              // records at which it is not known
	Err     error            // why there is no table
}

// measuring counts ground and places by the measures of a profile.
type measuring struct {
	list []*measureCount
	grid *layers.Grid
	at   []Place
}

// measureCount is one measure's numbers; those of a measure of records stay
// empty, since records choose themselves.
type measureCount struct {
	measure layers.Measure
	records bool
	codes   bool

	low, high float64   // of the ground in range and of the places
	sample    []float64 // on the lattice
	breaks    []float64 // rising; the ends hold everything

	places []float64 // number or code; NaN where unknown
	cells  []int64   // by interval, or by code
}

func newMeasuring(p *suitability.Profile, g layers.Grid, places []Place) *measuring {
	m := &measuring{grid: &g, at: places}
	for _, measure := range p.Measures() {
		c := &measureCount{measure: measure, records: ofRecords(measure), low: math.Inf(1), high: math.Inf(-1), places: make([]float64, len(places))}
		for i := range c.places {
			c.places[i] = math.NaN()
		}
		m.list = append(m.list, c)
	}
	return m
}

// survey takes a cell of the lattice into the sample.
func (m *measuring) survey(blocks []layers.Block, col, row int) {
	for i, c := range m.list {
		if c.records || blocks[i].IsCodes() {
			continue
		}
		if v := float64(blocks[i].Value(col, row)); v == v {
			c.sample = append(c.sample, v)
		}
	}
}

// span notes what every measure is in a cell: classes, or how wide its numbers
// reach.
func (m *measuring) span(blocks []layers.Block, col, row int) {
	for i, c := range m.list {
		if c.codes = blocks[i].IsCodes(); !c.codes && !c.records {
			c.hold(float64(blocks[i].Value(col, row)))
		}
	}
}

func (c *measureCount) hold(v float64) {
	if v == v {
		c.low, c.high = min(c.low, v), max(c.high, v)
	}
}

// place notes what each measure is at a place: the mean over its disc, or the
// class that most of the disc's known cells have, of several the first.
func (m *measuring) place(i int, blocks []layers.Block) {
	p := m.at[i]
	for k, c := range m.list {
		switch b := blocks[k]; {
		case c.records:
		case b.IsCodes():
			c.codes = true
			shares, _ := records.DiscShares(b, *m.grid, p.At, p.Radius, layers.MaxClasses)
			most := 0
			for code, share := range shares {
				if share > shares[most] {
					most = code
				}
			}
			if shares[most] > 0 {
				c.places[i] = float64(most)
			}
		default:
			c.places[i], _ = records.DiscMean(b, *m.grid, p.At, p.Radius)
			c.hold(c.places[i])
		}
	}
}

// cut fixes the intervals: tenths of the sample, the ends moved out to hold
// everything.
func (m *measuring) cut() {
	for _, c := range m.list {
		c.cells = make([]int64, layers.MaxClasses)
		if c.codes || len(c.sample) == 0 {
			continue
		}
		c.breaks, _ = Deciles(c.sample)
		c.sample = nil
		if len(c.breaks) == 1 {
			c.breaks = append(c.breaks, c.breaks[0])
		}
		c.breaks[0] = min(c.breaks[0], c.low)
		c.breaks[len(c.breaks)-1] = max(c.breaks[len(c.breaks)-1], c.high)
	}
}

// count counts a cell in range.
func (m *measuring) count(blocks []layers.Block, col, row int) {
	for i, c := range m.list {
		switch {
		case c.records:
		case c.codes:
			if code := blocks[i].Code(col, row); code != layers.NoClass {
				c.cells[code]++
			}
		case len(c.breaks) > 0:
			if v := float64(blocks[i].Value(col, row)); v == v {
				c.cells[c.interval(v)]++
			}
		}
	}
}

// interval is where a value falls: half open, the last closed.
func (c *measureCount) interval(v float64) int {
	k := sort.Search(len(c.breaks), func(j int) bool { return c.breaks[j] > v }) - 1
	return min(max(k, 0), len(c.breaks)-2)
}

// uses are the tables, from the places that are kept.
func (m *measuring) uses(p *suitability.Profile, keep func(i int) bool) []MeasureUse {
	var list []MeasureUse
	for _, c := range m.list {
		u := MeasureUse{Measure: c.measure, Parts: partsOf(p, c.measure), ByClass: c.codes}
		switch {
		case c.records:
			u.Err = undefined("it is made of records, which would choose themselves")
		case !c.codes && len(c.breaks) == 0:
			u.Err = undefined("it is known nowhere in range")
		default:
			u.Ratios, u.Unknown, u.Err = c.ratios(keep)
		}
		list = append(list, u)
	}
	return list
}

func (c *measureCount) ratios(keep func(i int) bool) (rows []SelectionRatio, unknown int, err error) {
	intervals := len(c.cells)
	if !c.codes {
		intervals = len(c.breaks) - 1
	}
	used, area := make([]int64, intervals), make([]float64, intervals)
	for k := range area {
		area[k] = float64(c.cells[k])
	}
	for i, v := range c.places {
		switch {
		case !keep(i):
		case v != v:
			unknown++
		case c.codes:
			used[int(v)]++
		default:
			used[c.interval(v)]++
		}
	}
	all, err := SelectionRatios(used, area)
	for k, r := range all {
		if c.codes && r.Used == 0 && r.Available == 0 {
			continue
		}
		if !c.codes {
			r.Low, r.High = c.breaks[k], c.breaks[k+1]
		}
		rows = append(rows, r)
	}
	return rows, unknown, err
}

// partsOf are the parts of a profile that look at a measure.
func partsOf(p *suitability.Profile, m layers.Measure) []string {
	var ids []string
	add := func(of layers.Measure, id string) {
		if of != nil && of.Key() == m.Key() {
			ids = append(ids, id)
		}
	}
	for _, r := range p.Requisites {
		for _, c := range r.Criteria {
			add(c.Measure, r.ID+"/"+c.ID)
		}
	}
	for _, x := range p.Multipliers {
		add(x.Measure, x.ID)
	}
	for _, x := range p.Exclusions {
		add(x.Measure, x.ID)
	}
	return ids
}
