package life

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"time"
)

// Visit is one visit to a site, with its effort and what came of it.
type Visit struct {
	ID       string
	Site     *Site
	Day      time.Time
	Start    string // time of day
	Minutes  int
	Weather  string
	Protocol string
	People   []string
	Targets  []*Species
	Finds    []Find
	Reported bool // that what was not found was looked for
}

// Find is a species found on a visit.
type Find struct {
	Species *Species
	Count   int
	Stage   string
}

const (
	visitedSites  = 60
	visitsWanted  = 300
	unreported    = 2 // visits that do not say what was not found
	visitSpacing  = 6 // days between visits to one site, at least
	firstYear     = 2019
	quietYear     = 2020 // few went out in its spring
	quietYearKept = 0.3
)

// survey is how a kind of site is visited.
type survey struct {
	protocol string
	targets  []string
	months   [12]float64 // how often visits fall into them
	start    [2]int      // hours between which a visit starts
	minutes  [2]int
	most     float64 // °C above which few animals show; 0 for none
	least    float64 // °C below which few animals show
}

var surveys = map[string]survey{
	reptileSite: {
		protocol: walkAndRefuges, targets: []string{"sand_lizard", "common_lizard", "slow_worm", "adder", "grass_snake", "smooth_snake"},
		months: [12]float64{0, 0.1, 0.9, 1.5, 1.5, 0.6, 0.15, 0.2, 1, 0.3, 0, 0}, start: [2]int{8, 11}, minutes: [2]int{60, 150}, most: 18, least: 9,
	},
	pondSite: {
		protocol: torchPond, targets: []string{"great_crested_newt", "smooth_newt", "common_toad"},
		months: [12]float64{0, 0, 0.6, 1.5, 1.5, 0.4, 0, 0, 0, 0, 0, 0}, start: [2]int{20, 22}, minutes: [2]int{30, 75}, least: 5,
	},
	poolSite: {
		protocol: nightPools, targets: []string{"natterjack", "common_toad"},
		months: [12]float64{0, 0, 0, 1, 1.5, 0.8, 0.1, 0, 0, 0, 0, 0}, start: [2]int{21, 22}, minutes: [2]int{45, 90}, least: 7,
	},
	toadSite: {
		protocol: roadWalk, targets: []string{"common_toad"},
		months: [12]float64{0, 0.2, 1.6, 0.8, 0, 0, 0, 0, 0, 0, 0, 0}, start: [2]int{19, 20}, minutes: [2]int{45, 100}, least: 6,
	},
}

// surveyor makes visits.
type surveyor struct {
	*Life
	rng *rand.Rand
	// chances are what a visit in good conditions finds, by site and species:
	// drawn once, since places differ.
	chances map[string]float64
}

// visits are the past visits to the sites that one may go to.
func (l *Life) visits() []Visit {
	v := &surveyor{Life: l, rng: stream(l.Seed, "visits"), chances: map[string]float64{}}
	sites := v.visitedSites()
	var all []Visit
	for len(all) < visitsWanted && len(sites) > 0 {
		for _, s := range sites {
			if len(all) < visitsWanted {
				all = append(all, v.season(s, all)...)
			}
		}
	}
	all = all[:min(len(all), visitsWanted)]
	slices.SortStableFunc(all, func(a, b Visit) int { return a.Day.Compare(b.Day) })
	v.forget(all)
	for i := range all {
		all[i].ID = fmt.Sprintf("visit-%d-%03d", all[i].Day.Year(), i+1)
	}
	return all
}

// visitedSites are sites with permission, drawn at random.
func (v *surveyor) visitedSites() []*Site {
	var sites []*Site
	for _, k := range v.rng.Perm(len(v.Sites)) {
		if s := &v.Sites[k]; s.Permission == "yes" || s.Access != accessPrivate {
			sites = append(sites, s)
		}
	}
	return sites[:min(len(sites), visitedSites)]
}

// season makes the visits of one year to a site: two to four.
func (v *surveyor) season(s *Site, before []Visit) []Visit {
	year := firstYear + v.rng.IntN(Reference.Year()-firstYear+1)
	if year == quietYear && v.rng.Float64() > quietYearKept {
		return nil
	}
	var made []Visit
	for range 2 + v.rng.IntN(3) {
		day, ok := v.visitDay(s, year, append(before, made...))
		if ok {
			made = append(made, v.visit(s, day))
		}
	}
	return made
}

// visitDay is a day that is not past the reference, nor too near another visit
// to the site.
func (v *surveyor) visitDay(s *Site, year int, others []Visit) (time.Time, bool) {
	months := surveys[s.Survey].months
	for range 40 {
		month := time.Month(1 + pick(v.rng, months[:]))
		day := time.Date(year, month, 1+v.rng.IntN(daysIn(year, month)), 0, 0, 0, 0, time.UTC)
		free := day.Before(Reference)
		for _, o := range others {
			if o.Site == s && absDays(o.Day, day) < visitSpacing {
				free = false
			}
		}
		if free {
			return day, true
		}
	}
	return time.Time{}, false
}

func absDays(a, b time.Time) int {
	days := int(a.Sub(b).Hours() / 24)
	return max(days, -days)
}

// visit goes to a site on a day and looks.
func (v *surveyor) visit(s *Site, day time.Time) Visit {
	how := surveys[s.Survey]
	visit := Visit{
		Site: s, Day: day, Protocol: how.protocol, Reported: true,
		Minutes: 5 * (how.minutes[0]/5 + v.rng.IntN((how.minutes[1]-how.minutes[0])/5+1)),
		Start:   fmt.Sprintf("%02d:%02d", how.start[0]+v.rng.IntN(how.start[1]-how.start[0]+1), 5*v.rng.IntN(12)),
		People:  v.party(how.protocol),
	}
	weather, favour := v.weather(how, day.Month())
	visit.Weather = weather
	for _, id := range how.targets {
		t := speciesNamed(id)
		visit.Targets = append(visit.Targets, t)
		if v.rng.Float64() < v.chance(s, t, how.protocol)*favour*t.active[day.Month()-1] && v.livesAt(s, t) {
			stage := stageIn(v.rng, t, day.Month())
			visit.Finds = append(visit.Finds, Find{t, max(countOf(v.rng, t, stage), 1), stage})
		}
	}
	return visit
}

// monthly are mean temperatures by day, °C, for weather that a lowland place by
// the North Sea could have.
var monthly = [12]float64{5, 6, 10, 13, 16, 19, 22, 21, 18, 13, 9, 6}
