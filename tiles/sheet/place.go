package sheet

import (
	"cmp"
	"image"
	"math"
	"slices"
	"strings"

	"github.com/paulmach/orb"
)

// Place is a place with a name.
type Place struct {
	Name   string
	Kind   string // town, village, heath, river, common words
	People int
	Rank   int // 1 is named first; 0 where nothing is said
	At     orb.Point
}

// settled tells whether people live there: such a place is named beside a dot,
// all others across their middle.
func (p Place) settled() bool {
	if p.People > 0 {
		return true
	}
	for _, word := range []string{"city", "town", "village", "hamlet", "suburb", "settlement"} {
		if strings.Contains(strings.ToLower(p.Kind), word) {
			return true
		}
	}
	return false
}

// waters tells whether it is named in the ink of water.
func (p Place) waters() bool {
	for _, word := range []string{"river", "stream", "lake", "water", "canal", "pond", "reservoir"} {
		if strings.Contains(strings.ToLower(p.Kind), word) {
			return true
		}
	}
	return false
}

// bigTown is from how many people a place is named in larger letters.
const bigTown = 3000

func (p Place) text() text {
	switch {
	case p.settled() && p.People >= bigTown:
		return text{bold, 10.5, ink}
	case p.settled():
		return text{bold, 9, ink}
	case p.waters():
		return text{italic, 8.5, wet}
	}
	return text{italic, 8.5, ink}
}

// byImportance puts places that are to be named first in front: by rank, then
// by people, then by name.
func byImportance(places []Place) []Place {
	sorted := slices.Clone(places)
	rank := func(p Place) int {
		if p.Rank <= 0 {
			return math.MaxInt
		}
		return p.Rank
	}
	slices.SortStableFunc(sorted, func(a, b Place) int {
		return cmp.Or(cmp.Compare(rank(a), rank(b)), cmp.Compare(b.People, a.People), cmp.Compare(a.Name, b.Name))
	})
	return sorted
}

// nameRim is the rim around names, in points.
const nameRim = 1.1

// drawPlaces names as many places as find room, the important ones first. No
// name covers another or a dot, and none runs off the map; a town without room
// for its name gets no dot either. Hides is how much of what the map is about a
// box would hide.
func (p pen) drawPlaces(f frame, places []Place, hides func(image.Rectangle) int) (towns bool) {
	var taken []image.Rectangle
	for _, place := range byImportance(places) {
		x, y := f.pixel(place.At)
		if !inside(f, x, y) {
			continue
		}
		dot := around(x, y, 2*dotRadius*p.point)
		at, box, fits := p.roomFor(f, place, taken, hides)
		if !fits || place.settled() && !free(dot, taken) {
			continue
		}
		if taken = append(taken, box); place.settled() {
			taken = append(taken, dot)
			p.dot(x, y)
			towns = true
		}
		p.writeRimmed(place.text(), at[0], at[1], nameRim, place.Name)
	}
	return towns
}

func inside(f frame, x, y float64) bool {
	return x >= 0 && y >= 0 && x < float64(f.width) && y < float64(f.height)
}

func around(x, y, r float64) image.Rectangle {
	return image.Rect(int(x-r), int(y-r), int(x+r)+1, int(y+r)+1)
}

// roomFor finds where a name can stand: its start on the baseline, and the box
// that it takes. Of free boxes it takes the one that hides least, and of those
// that hide alike the first.
func (p pen) roomFor(f frame, place Place, taken []image.Rectangle, hides func(image.Rectangle) int) (at [2]float64, box image.Rectangle, fits bool) {
	t := place.text()
	width, high := p.measure(t, place.Name), p.ascent(t)
	margin := 3 * p.point
	least := 0
	for _, start := range p.starts(f, place, width, high) {
		try := image.Rect(int(start[0]-margin), int(start[1]-high-margin), int(start[0]+width+margin), int(start[1]+high/3+margin))
		if !try.In(image.Rect(0, 0, f.width, f.height)) || !free(try, taken) {
			continue
		}
		if n := hides(try); !fits || n < least {
			at, box, fits, least = start, try, true, n
		}
	}
	return at, box, fits
}

// starts are where a name may begin, the best first: beside a dot, or across the
// middle of a place and above and below it.
func (p pen) starts(f frame, place Place, width, high float64) [][2]float64 {
	x, y := f.pixel(place.At)
	if place.settled() {
		gap := (dotRadius + 2) * p.point
		return [][2]float64{ // right, left, above, below, then aslant
			{x + gap, y + high/2}, {x - gap - width, y + high/2}, {x - width/2, y - gap}, {x - width/2, y + gap + high},
			{x + gap*0.7, y - gap*0.5}, {x + gap*0.7, y + gap*0.5 + high},
			{x - gap*0.7 - width, y - gap*0.5}, {x - gap*0.7 - width, y + gap*0.5 + high},
		}
	}
	list := [][2]float64{{x - width/2, y + high/2}}
	for _, lines := range []float64{-1, 1, -2, 2, -3, 3, -4, 4} {
		list = append(list, [2]float64{x - width/2, y + high/2 + lines*p.lineHeight(place.text())*0.8})
	}
	return list
}

// free tells whether a box meets no other.
func free(box image.Rectangle, taken []image.Rectangle) bool {
	return !slices.ContainsFunc(taken, box.Overlaps)
}

// dotRadius is that of a settlement's dot, in points.
const dotRadius = 1.9

func (p pen) dot(x, y float64) {
	for _, ring := range []struct {
		radius float64
		light  bool
	}{{dotRadius + 0.8, true}, {dotRadius, false}, {dotRadius * 0.45, true}} {
		p.DrawCircle(x, y, ring.radius*p.point)
		p.SetColor(ink)
		if ring.light {
			p.SetColor(rim)
		}
		p.Fill()
	}
}
