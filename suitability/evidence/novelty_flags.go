package evidence

import (
	"fmt"

	"tussock/layers"
	"tussock/suitability"
)

// The flags of extrapolation, never merged into one.
const (
	flagKnots   uint8 = 1 << iota // a measure lies outside its curve's knots
	flagUnlike                    // less similar than 0 to the ground of accepted records
	flagFar                       // farther than the species' far distance from any accepted record
	noveltyBits = 3
)

// noveltyOf judges one species' map.
type noveltyOf struct {
	plan    *suitability.Plan
	subject suitability.Subject
	mapCell int
	curves  []curveSpan
	names   []string // of the variables that are compared
	inputs  []int    // their measures
	refs    []reference
	places  []AcceptedPlace
	far     float64
	unlike  string // why similarity is not judged; "" where it is
	distant string // why distance is not judged
	cells   int    // distinct cells of the reference
}

// curveSpan is the span of a curve's knots, and its measure.
type curveSpan struct {
	name        string
	input       int
	first, last float64
}

func newNovelty(plan *suitability.Plan, species string, places []AcceptedPlace) (*noveltyOf, error) {
	s, task, err := plan.Planned(species)
	if err != nil {
		return nil, err
	}
	n := &noveltyOf{plan: plan, subject: s, mapCell: task.MapCell, far: s.Profile.Facts.Movement.Far, places: places}
	p := slotted(s.Profile)
	names := ratingNames(p)
	for i, in := range inputsOf(p) {
		if c, ok := statedRatings(p)[i].(suitability.Curve); ok {
			n.curves = append(n.curves, curveSpan{names[i], in, c[0].X, c[len(c)-1].X})
			n.variable(names[i], in)
		}
	}
	n.judge()
	if n.unlike != "" {
		n.names, n.inputs = nil, nil
		return n, nil
	}
	return n, n.refer()
}

// inputsOf are the measures of a slotted profile's criteria and multipliers.
func inputsOf(p *suitability.Profile) []int {
	var list []int
	for _, q := range p.Requisites {
		for _, c := range q.Criteria {
			list = append(list, int(c.Measure.(slot)))
		}
	}
	for _, m := range p.Multipliers {
		list = append(list, int(m.Measure.(slot)))
	}
	return list
}

// variable adds a measure to those that are compared, by the name of the first
// that rates it. Classes are no numbers, and nearness to records is high at
// records by itself: neither is compared.
func (n *noveltyOf) variable(name string, input int) {
	if _, ofRecords := n.subject.Profile.Measures()[input].(layers.PointKernel); ofRecords {
		return
	}
	for _, in := range n.inputs {
		if in == input {
			return
		}
	}
	n.names, n.inputs = append(n.names, name), append(n.inputs, input)
}

// staffOnly is why the flags that depend on records are not made.
const staffOnly = "for staff only: the species, or one that its map is made by, is sensitive"

// judge settles which of the flags that depend on records are made.
func (n *noveltyOf) judge() {
	if n.plan.Job().Audience != layers.Staff && n.subject.Profile.MostSensitive() != layers.NotSensitive {
		n.unlike, n.distant, n.places = staffOnly, staffOnly, nil
		return
	}
	fine := 0
	for _, p := range n.places {
		if p.Fine {
			fine++
		}
	}
	switch {
	case len(n.inputs) == 0:
		n.unlike = "no measure of the profile is a number"
	case fine < minReference:
		n.unlike = fmt.Sprintf("%d accepted records of a fine place; it takes %d", fine, minReference)
	}
	switch {
	case n.far <= 0:
		n.distant = "the profile does not say how far some are known to go (movement, far)"
	case len(n.places) == 0:
		n.distant = "there is no accepted record"
	}
}

// refer takes the measures under every fine record within the grid, one for each
// cell.
func (n *noveltyOf) refer() error {
	g := n.plan.Job().Grid
	seen, values := map[liveCell]bool{}, make([][]float64, len(n.inputs))
	for _, p := range n.places {
		col, row := g.CellAt(p.At)
		c := liveCell{col, row}
		if !p.Fine || seen[c] || !g.Window().Has(col, row) {
			continue
		}
		seen[c] = true
		blocks, err := n.plan.Measured(n.subject, layers.Window{Col: col, Row: row, Cols: 1, Rows: 1})
		if err != nil {
			return fmt.Errorf("evidence: the ground of a record at column %d, row %d: %w", col, row, err)
		}
		for i, in := range n.inputs {
			values[i] = append(values[i], float64(blocks[in].Value(col, row)))
		}
	}
	for _, v := range values {
		n.refs = append(n.refs, newReference(v))
	}
	if n.cells = len(seen); n.cells == 0 {
		n.unlike = "no accepted record of a fine place lies within the area"
		n.names, n.inputs, n.refs = nil, nil, nil
	}
	return nil
}

// fill flags a window's cells: see [suitability.Companion].
func (n *noveltyOf) fill(w layers.Window, out [][]uint8) (noveltyNote, error) {
	note := noveltyNote{Curves: make([]uint64, len(n.curves)), Variables: make([]uint64, len(n.names))}
	live, err := findLive(n.plan, n.subject, w, n.mapCell)
	if err != nil {
		return note, err
	}
	var near []bool
	if n.distant == "" {
		near = nearPlaces(n.plan.Job().Grid, w, n.places, n.far)
	}
	from := 0
	for u := range live.count() {
		area, to := live.area(u, w), live.end(u)
		f := n.flag(live, from, to, note.Curves, uint64(area.Cells()))
		if near != nil && !near[(area.Row-w.Row)*w.Cols+area.Col-w.Col] {
			f.bits |= flagFar
		}
		note.add(f, uint64(area.Cells()))
		f.write(area, w, out)
		from = to
	}
	return note, nil
}

// end is where a unit's live cells end.
func (l *liveCells) end(unit int) int {
	if l.side == 1 {
		return unit + 1
	}
	return l.squares[unit].end
}

// flagged is what is said of a unit.
type flagged struct {
	bits     uint8
	similar  float64
	variable int
	compared bool
}

// flag judges a unit, from its first live cell to its last. Where it has several
// cells, a map that is averaged, a curve is left where at least half of them leave
// it; and it has no flags that depend on records.
func (n *noveltyOf) flag(l *liveCells, from, to int, curves []uint64, area uint64) flagged {
	f := flagged{}
	for i, c := range n.curves {
		outside := 0
		for _, at := range l.at[from:to] {
			if v := float64(l.measured[c.input].Value(at.col, at.row)); v < c.first || v > c.last {
				outside++
			}
		}
		if 2*outside >= to-from {
			f.bits |= flagKnots
			curves[i] += area
		}
	}
	if n.refs == nil {
		return f
	}
	at, values := l.at[from], make([]float64, len(n.inputs))
	for i, in := range n.inputs {
		values[i] = float64(l.measured[in].Value(at.col, at.row))
	}
	f.similar, f.variable, f.compared = mostUnlike(n.refs, values)
	if f.compared && f.similar < 0 {
		f.bits |= flagUnlike
	}
	return f
}

// similarityByte holds −100 to 100 percent in whole steps, rounded down so that a
// similarity below 0 never reads as 0; what is less than −100 is kept as −100.
func similarityByte(s float64) uint8 {
	floor := 0
	switch s = min(max(s, -100), 100); {
	case s >= 0:
		floor = int(s)
	case s == float64(int(s)):
		floor = int(s)
	default:
		floor = int(s) - 1
	}
	return uint8(floor + 100)
}

func (f flagged) write(area, w layers.Window, out [][]uint8) {
	bytes := [...]uint8{f.bits, suitability.ByteNodata, suitability.ByteNodata}
	if f.compared {
		bytes[1], bytes[2] = similarityByte(f.similar), uint8(f.variable)
	}
	for row := area.Row; row < area.Bottom(); row++ {
		from := (row-w.Row)*w.Cols + area.Col - w.Col
		for r := range out {
			line := out[r][from:][:area.Cols]
			for i := range line {
				line[i] = bytes[r]
			}
		}
	}
}

// canonicalPlaces are the places as a recipe holds them.
func canonicalPlaces(places []AcceptedPlace) []string {
	var list []string
	for _, p := range places {
		list = append(list, fmt.Sprintf("%x %x %x %t", p.At[0], p.At[1], p.UncertaintyM, p.Fine))
	}
	return list
}
