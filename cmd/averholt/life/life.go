package life

import (
	"os"
	"path/filepath"
	"time"

	"github.com/paulmach/orb"

	"tussock/cmd/averholt/land"
)

// Reference is the day that everything is told of: nothing happened after it.
var Reference = time.Date(2026, 6, 1, 0, 0, 0, 0, time.UTC)

// Life is what lives in a district and what people know of it.
type Life struct {
	Seed       uint64
	Truth      []Truth // in the order of prey before those who eat it
	Ranges     []Range
	Places     []Place
	Records    []Record // by date
	Sites      []Site
	Volunteers []Volunteer
	Visits     []Visit // by date
	Parcels    []Parcel

	ground *ground
	plan   map[string][]rangePart
	people raster // metres to the nearest road or garden
	shore  raster // metres from the middle of open water to its edge; 0 on land
}

// New settles a district. The same district and seed give the same life.
func New(d *land.District, seed uint64) *Life {
	l := &Life{Seed: seed, ground: newGround(d, seed)}
	l.plan = rangePlan(l.ground)
	l.people, l.shore = l.ground.people(), l.ground.shore()
	l.Truth = l.truths()
	l.Ranges = l.ranges()
	l.Places = l.places()
	l.Records = l.records()
	l.Sites = l.sites()
	l.Volunteers = l.volunteers()
	l.Visits = l.visits()
	l.Parcels = l.parcels()
	return l
}

// people is how far it is to the nearest road or garden.
func (g *ground) people() raster {
	on := make([]bool, land.Cols*land.Rows)
	for _, r := range g.d.Roads {
		g.mark(on, r.Path)
	}
	return g.away(on, land.Gardens, land.Built)
}

// shore is how far a cell of open water is from the land.
func (g *ground) shore() raster {
	return metres(distance(land.Cols, land.Rows, func(i int) bool { return g.d.Cover[i] != land.OpenWater }))
}

// WriteFiles writes everything into a folder: ranges, records, visits, parcels,
// sites, volunteers, places, and the truth in a folder of its own.
func (l *Life) WriteFiles(folder string) error {
	for _, sub := range []string{"", "truth", "visits"} {
		if err := os.MkdirAll(filepath.Join(folder, sub), 0o777); err != nil {
			return err
		}
	}
	for _, f := range []struct {
		name  string
		write func(path string, l *Life) error
	}{
		{"ranges.geojson", writeRanges},
		{"places.geojson", writePlaces},
		{"records.csv", writeRecords},
		{"visits", writeVisits},
		{"parcels.geojson", writeParcels},
		{"sites.geojson", writeSites},
		{"volunteers.csv", writeVolunteers},
		{"truth", writeTruth},
	} {
		if err := f.write(filepath.Join(folder, f.name), l); err != nil {
			return err
		}
	}
	return nil
}

// truthOf is where a species lives.
func (l *Life) truthOf(s *Species) *Truth {
	for i := range l.Truth {
		if l.Truth[i].Species == s {
			return &l.Truth[i]
		}
	}
	panic("life: no truth of " + s.ID)
}

// cellOf is the number of the cell that holds a point, and whether it lies in
// the district.
func (l *Life) cellOf(p orb.Point) (i int, ok bool) {
	col, row := l.ground.d.CellOf(p)
	if !inside(col, row) {
		return 0, false
	}
	return l.ground.d.Index(col, row), true
}
