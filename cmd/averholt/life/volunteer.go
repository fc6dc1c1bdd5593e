package life

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"

	"github.com/paulmach/orb"

	"tussock/cmd/averholt/land"
)

// Volunteer is somebody who goes out. There is no name and no address: home is a
// square of 1 km.
type Volunteer struct {
	ID        string
	HomeCell  string
	TravelKm  int
	Days      []string
	Skills    []string
	Licences  []string // species that the licence is for
	PairsWith string   // who they like to go out with

	home orb.Point // middle of the square
}

const volunteerCount = 25

var weekdays = [...]string{"mon", "tue", "wed", "thu", "fri", "sat", "sun"}

// volunteers settles them in the towns, by where the gardens are.
func (l *Life) volunteers() []Volunteer {
	rng := stream(l.Seed, "volunteers")
	var gardens []int
	for i, c := range l.ground.d.Cover {
		if c == land.Gardens {
			gardens = append(gardens, i)
		}
	}
	all := make([]Volunteer, volunteerCount)
	for k := range all {
		at := l.ground.d.Grid.Centre(land.Cols/2, land.Rows/2)
		if len(gardens) > 0 {
			at = l.ground.at(gardens[rng.IntN(len(gardens))])
		}
		all[k] = newVolunteer(rng, k, squareOf(at, 1000))
	}
	pairUp(rng, all)
	return all
}

func newVolunteer(rng *rand.Rand, k int, home orb.Point) Volunteer {
	v := Volunteer{ID: fmt.Sprintf("V%02d", k+1), HomeCell: cellName(home), TravelKm: oneOf(rng, 5, 8, 10, 10, 15, 15, 20, 25), home: home}
	for d, day := range weekdays {
		chance := 0.22
		if d >= 5 {
			chance = 0.8
		}
		if rng.Float64() < chance {
			v.Days = append(v.Days, day)
		}
	}
	if len(v.Days) == 0 {
		v.Days = []string{"sat"}
	}
	for _, skill := range [...]struct {
		name   string
		chance float64
	}{{"reptiles", 0.6}, {"newts", 0.5}, {"toad patrol", 0.4}, {"natterjack", 0.15}, {"first aid", 0.3}, {"4x4 driving", 0.1}} {
		if rng.Float64() < skill.chance {
			v.Skills = append(v.Skills, skill.name)
		}
	}
	v.Licences = licencesOf(rng, v.Skills)
	return v
}

// licencesOf: few hold one, and only for what they know.
func licencesOf(rng *rand.Rand, skills []string) []string {
	var all []string
	for _, l := range [...]struct {
		species, needs string
		chance         float64
	}{{"great_crested_newt", "newts", 0.4}, {"natterjack", "natterjack", 0.6}, {"sand_lizard", "reptiles", 0.3}, {"smooth_snake", "reptiles", 0.25}} {
		if slices.Contains(skills, l.needs) && rng.Float64() < l.chance {
			all = append(all, l.species)
		}
	}
	return all
}

// pairUp lets some who live near each other name each other.
func pairUp(rng *rand.Rand, all []Volunteer) {
	for i := range all {
		if all[i].PairsWith != "" || rng.Float64() < 0.35 {
			continue
		}
		best, nearest := -1, math.Inf(1)
		for j := range all {
			if d := apart(all[i].home, all[j].home); j != i && all[j].PairsWith == "" && d < nearest {
				best, nearest = j, d
			}
		}
		if best >= 0 && nearest <= 8000 {
			all[i].PairsWith, all[best].PairsWith = all[best].ID, all[i].ID
		}
	}
}

// cellName names a square of 1 km by the kilometres of its south-west corner.
func cellName(p orb.Point) string {
	return fmt.Sprintf("E%03dN%04d", int(math.Floor(p[0]/1000)), int(math.Floor(p[1]/1000)))
}

func writeVolunteers(path string, l *Life) error {
	rows := [][]string{{"id", "home_cell", "travel_km", "days", "skills", "licence", "pairs_with"}}
	for _, v := range l.Volunteers {
		rows = append(rows, []string{
			v.ID, v.HomeCell, fmt.Sprint(v.TravelKm), strings.Join(v.Days, " "), strings.Join(v.Skills, "; "), strings.Join(v.Licences, "; "), v.PairsWith,
		})
	}
	return writeTable(path, rows)
}
