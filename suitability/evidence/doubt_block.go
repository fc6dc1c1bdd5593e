package evidence

import (
	"fmt"

	"tussock/layers"
	"tussock/suitability"
)

// stripDraws bounds the draws of one strip that are kept at a time, one byte
// each.
const stripDraws = 32 << 20

// doubting is the doubt about one species' map.
type doubting struct {
	plan    *suitability.Plan
	subject suitability.Subject
	mapCell int
	doubt   Doubt
	profile *suitability.Profile // with its measures as slots
	draws   []drawnAssumptions
	ratings []suitability.Rating
	breaks  []float32
}

func newDoubting(plan *suitability.Plan, species string, d Doubt) (*doubting, error) {
	if err := d.Check(); err != nil {
		return nil, err
	}
	subject, task, err := plan.Planned(species)
	if err != nil {
		return nil, err
	}
	j := &doubting{plan: plan, subject: subject, mapCell: task.MapCell, doubt: d}
	j.profile = slotted(subject.Profile)
	j.ratings = statedRatings(j.profile)
	if len(j.ratings) > maxRatings {
		return nil, fmt.Errorf("evidence: species %s: %d criteria and multipliers are more than the %d that a raster of changes can name", species, len(j.ratings), maxRatings)
	}
	j.draws = d.draw(j.profile)
	for _, b := range plan.Job().Classes {
		j.breaks = append(j.breaks, float32(b))
	}
	return j, nil
}

// classOf is the class of a known suitability, as the map takes it.
func (j *doubting) classOf(s float32) uint8 {
	class := uint8(0)
	for _, b := range j.breaks {
		if s >= b {
			class++
		}
	}
	return class
}

// fill makes the doubt of a window: see [suitability.Companion].
func (j *doubting) fill(w layers.Window, out [][]uint8) (doubtNote, error) {
	note := j.newNote()
	live, err := findLive(j.plan, j.subject, w, j.mapCell)
	if err != nil {
		return note, err
	}
	u := live.units(j.profile)
	step := max(stripDraws/j.doubt.Draws, 1)
	for from := 0; from < u.count; {
		to := u.upTo(from, step)
		s := j.strip(u.part(from, to))
		if err := s.run(); err != nil {
			return note, err
		}
		for i := range s.count {
			area := live.area(from+i, w)
			j.write(s, i, area, w, out)
			note.add(s, i, area.Cells())
		}
		from = to
	}
	return note, nil
}

// upTo is the end of the units from there on that have so many cells, at least
// one unit.
func (u *mapUnits) upTo(from, cells int) int {
	to, start := from+1, u.start(from)
	for to < u.count && u.start(to+1)-start <= cells {
		to++
	}
	return to
}

// write puts a unit's bytes into its cells.
func (j *doubting) write(s *drawnStrip, unit int, area, w layers.Window, out [][]uint8) {
	most, share := s.modal(unit)
	_, source := s.dominant(unit)
	sp := s.spread[unit]
	bytes := [...]uint8{medianRaster: sp.median, p10Raster: sp.p10, p90Raster: sp.p90, modalRaster: most,
		stabilityRaster: suitability.EncodeByte(share), sourceRaster: source, changeRaster: s.change[unit]}
	for row := area.Row; row < area.Bottom(); row++ {
		at := (row-w.Row)*w.Cols + area.Col - w.Col
		for r, b := range bytes {
			line := out[r][at:][:area.Cols]
			for i := range line {
				line[i] = b
			}
		}
	}
}

// modal is the class of most draws, the lower of equally frequent ones, and the
// share of draws in it.
func (s *drawnStrip) modal(unit int) (class uint8, share float64) {
	classes := len(s.job.breaks) + 1
	seen := s.seen[unit*classes:][:classes]
	for c, n := range seen {
		if n > seen[class] {
			class = uint8(c)
		}
	}
	return class, float64(seen[class]) / float64(s.job.doubt.Draws)
}

// settled is the standard deviation under which a source is held not to move a
// cell: a tenth of the step in which suitability is stored.
const settled = suitability.ByteScale / 10

// dominant are the variances by source, and the source of the greatest; 0 where
// none moves the unit, and the first of equal ones.
func (s *drawnStrip) dominant(unit int) (variances [doubtSources]float64, source uint8) {
	greatest := settled * settled
	for k := range doubtSources {
		variances[k] = s.moment[k][unit].variance(float64(s.job.doubt.Draws))
		if k != doubtAll && variances[k] > greatest {
			greatest, source = variances[k], uint8(k)
		}
	}
	return variances, source
}
