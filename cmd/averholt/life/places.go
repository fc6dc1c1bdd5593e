package life

import (
	"math"

	"github.com/paulmach/orb"

	"tussock/cmd/averholt/geo"
	"tussock/cmd/averholt/land"
)

// Place is an entry of the gazetteer.
type Place struct {
	Name, Kind string
	People     int // 0 where nobody is counted
	Rank       int // 1 is named first where there is little room
	At         orb.Point
}

// Office is the gazetteer's kind of the place where records are written up.
const Office = "office"

// places is the gazetteer: the district's towns and places, and the charity's
// office, a few streets from the middle of the largest town.
func (l *Life) places() []Place {
	var all []Place
	for _, p := range l.ground.d.Places {
		all = append(all, Place{p.Name, p.Kind, p.People, rankOf(p), wholeMetres(p.At)})
	}
	return append(all, Place{"Averholt Reptile and Amphibian Watch", Office, 0, 4, l.officeAt()})
}

func rankOf(p land.Place) int {
	switch {
	case p.People >= 5000:
		return 1
	case p.People >= 1000:
		return 2
	}
	return 3
}

// wholeMetres is a point in whole metres, as a gazetteer gives it.
func wholeMetres(p orb.Point) orb.Point { return orb.Point{math.Round(p[0]), math.Round(p[1])} }

// officeAt is a point of the largest town, some streets off its middle.
func (l *Life) officeAt() orb.Point {
	rng := stream(l.Seed, "office")
	middle := l.largestTown().At
	for range 500 {
		angle := between(rng, 0, 2*math.Pi)
		at := wholeMetres(orb.Point{middle[0] + 380*math.Cos(angle), middle[1] + 380*math.Sin(angle)})
		if i, ok := l.cellOf(at); ok && (l.ground.d.Cover[i] == land.Built || l.ground.d.Cover[i] == land.Gardens) {
			return at
		}
	}
	return wholeMetres(orb.Point{middle[0] + 380, middle[1]})
}

func (l *Life) largestTown() land.Town {
	town := land.Town{At: l.ground.d.Grid.Centre(land.Cols/2, land.Rows/2)}
	for _, t := range l.ground.d.Towns {
		if t.People > town.People {
			town = t
		}
	}
	return town
}

// office is where the gazetteer has the office.
func (l *Life) office() orb.Point { return l.Places[len(l.Places)-1].At }

// nearPlace tells whether a point lies near an entry of the gazetteer.
func (l *Life) nearPlace(p orb.Point, within float64) bool {
	for _, place := range l.Places {
		if apart(place.At, p) < within {
			return true
		}
	}
	return false
}

func apart(a, b orb.Point) float64 { return math.Hypot(a[0]-b[0], a[1]-b[1]) }

func writePlaces(path string, l *Life) error {
	var features []geo.Feature
	for _, p := range l.Places {
		people := any(nil)
		if p.People > 0 {
			people = p.People
		}
		features = append(features, geo.Feature{Geometry: p.At, Properties: []geo.Property{
			{Name: "name", Value: p.Name}, {Name: "kind", Value: p.Kind}, {Name: "people", Value: people}, {Name: "rank", Value: p.Rank},
		}})
	}
	return geo.Write(path, l.ground.d.Grid.CRS, features)
}
