package evidence

import (
	"fmt"

	"tussock/suitability"
)

// mapUnits are the cells of a map as its audience sees them: single cells, or
// squares of cells. Only cells whose suitability can differ between draws are
// there, those of a unit together.
type mapUnits struct {
	rows []suitability.Row // of every measure that a draw needs
	// ends are where each unit's cells end, and known how many of its square's
	// cells have a suitability, those that are 0 in every draw among them. Both are
	// nil where units are cells.
	ends  []int
	known []int
	count int
	cells int
}

// part are the units from..to.
func (u *mapUnits) part(from, to int) mapUnits {
	first, last := from, to
	p := mapUnits{count: to - from}
	if u.ends != nil {
		first, last = u.start(from), u.start(to)
		for i := from; i < to; i++ {
			p.ends = append(p.ends, u.ends[i]-first)
		}
		p.known = u.known[from:to]
	}
	p.cells = last - first
	for _, r := range u.rows {
		if r.Codes != nil {
			p.rows = append(p.rows, suitability.Row{Codes: r.Codes[first:last]})
		} else {
			p.rows = append(p.rows, suitability.Row{Values: r.Values[first:last]})
		}
	}
	return p
}

// start is where a unit's cells begin.
func (u *mapUnits) start(unit int) int {
	switch {
	case u.ends == nil:
		return unit
	case unit == 0:
		return 0
	}
	return u.ends[unit-1]
}

// drawnStrip is the work on a run of units.
type drawnStrip struct {
	mapUnits
	job    *doubting
	cells  []float32 // scratch, by cell
	flags  []uint8
	stated []float32 // by unit, from here on
	class  []uint8   // of the stated suitability
	value  []float32 // of the draw at hand
	bytes  []uint8   // of all draws
	seen   []uint16  // draws by unit and class
	moved  [doubtSources][]uint16
	moment [doubtSources][]drawnMoments
	spread []drawnSpread
	change []uint8
}

func (j *doubting) strip(u mapUnits) *drawnStrip {
	n := u.count
	s := &drawnStrip{
		mapUnits: u, job: j, cells: make([]float32, u.cells), flags: make([]uint8, u.cells), stated: make([]float32, n), class: make([]uint8, n),
		value: make([]float32, n), bytes: make([]uint8, n*j.doubt.Draws), seen: make([]uint16, n*(len(j.breaks)+1)),
		spread: make([]drawnSpread, n), change: make([]uint8, n),
	}
	for i := range s.moved {
		s.moved[i], s.moment[i] = make([]uint16, n), make([]drawnMoments, n)
	}
	return s
}

// run makes all draws for the strip's units.
func (s *drawnStrip) run() error {
	if err := s.evaluate(s.job.profile, s.stated); err != nil {
		return err
	}
	for i, v := range s.stated {
		s.class[i] = s.job.classOf(v)
	}
	for d := range s.job.draws {
		if err := s.draw(d); err != nil {
			return err
		}
	}
	if err := s.rules(); err != nil {
		return err
	}
	orderStatistics(s.bytes, s.count, s.spread)
	return s.findChange()
}

// draw evaluates one draw with everything varied, its weights alone, and its
// curves alone.
func (s *drawnStrip) draw(d int) error {
	a := &s.job.draws[d]
	for _, source := range []doubtSource{doubtAll, doubtWeights, doubtCurves} {
		if !s.job.doubt.varies(source) {
			continue
		}
		if err := s.evaluate(a.with(s.job.profile, source), s.value); err != nil {
			return fmt.Errorf("draw %d, %s: %w", d+1, doubtNames[source], err)
		}
		s.count1(source, 1)
		if source == doubtAll {
			s.record(s.bytes[d*s.count:][:s.count])
		}
	}
	return nil
}

// rules evaluates each rule that was drawn, once, with all else as stated.
func (s *drawnStrip) rules() error {
	if !s.job.doubt.variesRule() {
		return nil
	}
	times := map[suitability.RuleKind]int{}
	for i := range s.job.draws {
		times[s.job.draws[i].rule]++
	}
	for kind := range suitability.Minimum + 1 {
		if times[kind] == 0 {
			continue
		}
		a := drawnAssumptions{rule: kind}
		if err := s.evaluate(a.with(s.job.profile, doubtRule), s.value); err != nil {
			return fmt.Errorf("rule %v: %w", kind, err)
		}
		s.count1(doubtRule, times[kind])
	}
	return nil
}

// evaluate gives every unit its suitability under a profile.
func (s *drawnStrip) evaluate(p *suitability.Profile, out []float32) error {
	e, err := suitability.NewEvaluator(p)
	if err != nil {
		return err
	}
	cells := out
	if s.ends != nil {
		cells = s.cells
	}
	if err := e.Row(s.rows, cells, s.flags); err != nil {
		return err
	}
	if s.ends != nil {
		s.average(out)
	}
	for i, v := range out {
		if v != v {
			return fmt.Errorf("evidence: unit %d has no suitability, though it has one as stated", i)
		}
	}
	return nil
}

// average is the mean over each square's known cells, in the order of the map's
// own averaging.
func (s *drawnStrip) average(out []float32) {
	from := 0
	for i, end := range s.ends {
		sum := 0.0
		for _, v := range s.cells[from:end] {
			sum += float64(v)
		}
		out[i] = float32(sum / float64(s.known[i]))
		from = end
	}
}

// count1 counts the draw at hand n times for a source.
func (s *drawnStrip) count1(source doubtSource, n int) {
	moment, moved := s.moment[source][:len(s.value)], s.moved[source][:len(s.value)]
	for i, v := range s.value {
		moment[i].add(float64(v)-float64(s.stated[i]), float64(n))
		if s.job.classOf(v) != s.class[i] {
			moved[i] += uint16(n)
		}
	}
}

// record keeps the draw at hand: its bytes, and its classes.
func (s *drawnStrip) record(bytes []uint8) {
	classes := len(s.job.breaks) + 1
	for i, v := range s.value {
		bytes[i] = suitability.EncodeByte(float64(v))
		s.seen[i*classes+int(s.job.classOf(v))]++
	}
}
