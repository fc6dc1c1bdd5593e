package life

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"

	"tussock/cmd/averholt/land"
)

const (
	soundRecords  = 376
	defectRecords = 24
	nearPeople    = 300.0 // m from a road or a garden
	nearShare     = 0.70  // of the sound records
	honestOutside = 3     // sound records a little outside the documented range
	onceRecords   = 4     // old records from where a species once was
	justOutside   = 800.0 // m
)

// recorder draws sound records from where the species live.
type recorder struct {
	*Life
	rng     *rand.Rand
	drawn   []Record
	senders []float64         // how much each recorder sends in
	spots   map[orb.Point]int // squares that were used
	known   []bool            // cells of places that all know
	draws   map[string]*cellDraw
}

// records draws all records, sound ones first, and plants the defects.
func (l *Life) records() []Record {
	r := &recorder{Life: l, rng: stream(l.Seed, "records"), spots: map[orb.Point]int{}, known: l.wellKnown(), draws: map[string]*cellDraw{}}
	for i := range 42 {
		r.senders = append(r.senders, 1/math.Pow(float64(i+1), 0.8))
	}
	r.drawOnce()
	r.drawOutside()
	r.drawByPlan()
	l.write(r.drawn)
	r.plantDefects()
	slices.SortStableFunc(r.drawn, func(a, b Record) int { return a.Day.Compare(b.Day) })
	r.number()
	return r.drawn
}

// number gives identifiers by date and lets the words on a duplicate name the
// record that it repeats.
func (r *recorder) number() {
	ids := map[string]string{}
	for i := range r.drawn {
		id := fmt.Sprintf("averholt-%05d", 1001+i)
		ids[r.drawn[i].ID], r.drawn[i].ID = id, id
	}
	for i := range r.drawn {
		if d := &r.drawn[i]; d.Defect == Repeated {
			d.Words += ids[d.Withheld]
			d.Withheld = ""
		}
	}
}

func (r *recorder) keep(d Record) {
	d.ID = fmt.Sprintf("drawn %d", len(r.drawn))
	r.drawn = append(r.drawn, d)
}

// cellDraw draws cells in proportion to their weights.
type cellDraw struct {
	cells []int
	sums  []float64
}

// cellsOf are the occupied cells of a species, near people or far from them, by
// how often somebody goes there: along roads, and on the commons that all know.
func (r *recorder) cellsOf(s *Species, near bool) *cellDraw {
	key := fmt.Sprint(s.ID, near)
	if made := r.draws[key]; made != nil {
		return made
	}
	c, sum := &cellDraw{}, 0.0
	r.draws[key] = c
	for i, occupied := range r.truthOf(s).Occupied {
		away := float64(r.people.at[i])
		if !occupied || (away <= nearPeople) != near {
			continue
		}
		weight := math.Exp(-away / 250)
		if r.known[i] {
			weight += 0.6
		}
		sum += 0.05 + weight
		c.cells, c.sums = append(c.cells, i), append(c.sums, sum)
	}
	return c
}

// wellKnown are the cells of places that people go to for their animals.
func (l *Life) wellKnown() []bool {
	known := make([]bool, land.Cols*land.Rows)
	for _, name := range [...]string{"Great Ling Common", "Emberlow Heath", "Skarn Tops", "Mirkwater Fen", "Dunstall Pits"} {
		in := l.ground.place(name)
		for i := range known {
			known[i] = known[i] || in(i)
		}
	}
	return known
}

func (c *cellDraw) draw(rng *rand.Rand) int {
	at, _ := slices.BinarySearch(c.sums, rng.Float64()*c.sums[len(c.sums)-1])
	return c.cells[min(at, len(c.cells)-1)]
}

// drawSound draws a record with nothing wrong with it; none where the cells
// give none.
func (r *recorder) drawSound(s *Species, from *cellDraw, near bool) (Record, bool) {
	if len(from.cells) == 0 {
		return Record{}, false
	}
	for range 400 {
		d := r.written(s, r.within(from.draw(r.rng)))
		if r.isNear(d.At) == near && r.isSound(d) && r.documented(s, d.At) == 0 {
			return d, true
		}
	}
	return Record{}, false
}

// within is a point within a cell.
func (r *recorder) within(i int) orb.Point {
	p := r.ground.at(i)
	return orb.Point{p[0] + between(r.rng, -0.5, 0.5)*land.Cell, p[1] + between(r.rng, -0.5, 0.5)*land.Cell}
}

// isSound tells whether nothing about a record looks like a defect by accident.
func (r *recorder) isSound(d Record) bool {
	i, ok := r.cellOf(d.At)
	switch {
	case !ok || r.nearEdge(d.At) || r.nearPlace(d.At, 150):
		return false
	case !d.Species.inWater && r.ground.d.Cover[i] == land.OpenWater:
		return false
	case d.Uncertainty >= 71 && r.spots[d.At] > 0:
		return false
	}
	for _, other := range r.drawn {
		if other.Species == d.Species && other.Day.Equal(d.Day) && apart(other.At, d.At) < 400 {
			return false
		}
	}
	r.spots[d.At]++
	return true
}

func (l *Life) nearEdge(p orb.Point) bool {
	g := l.ground.d.Grid
	b := g.Bound(g.Window())
	return min(p[0]-b.Min[0], b.Max[0]-p[0], p[1]-b.Min[1], b.Max[1]-p[1]) < 50
}

// documented is how many metres a point lies outside a species' documented and
// uncertain range as they were drawn; 0 inside.
func (l *Life) documented(s *Species, p orb.Point) float64 {
	away := math.Inf(1)
	for _, r := range l.Ranges {
		if r.Species != s || r.Status == "historic" {
			continue
		}
		if planar.MultiPolygonContains(r.Outline, p) {
			return 0
		}
		away = min(away, planar.DistanceFrom(r.Outline, p))
	}
	return away
}
