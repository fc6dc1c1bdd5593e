package land

import (
	"github.com/paulmach/orb"

	"tussock/layers"
)

// New makes the district of a seed.
func New(seed uint64) *District {
	m := newMaker(seed)
	m.layGround()
	m.laySoil()
	m.siteTowns()
	m.claimSites()
	m.claimWaters()
	m.siteHamlets()
	m.layRoads()
	m.claimEmberlow()
	m.growTowns()
	m.growHamlets()
	pines := newPlantation(m)
	pines.claim()
	m.layStreets()
	m.layRail()
	m.toTown = distances(5000, func(i int) bool { return m.zone[i] == townZone })
	m.claimUpland()
	m.claimWoods()
	m.layFields()
	m.useFields()
	m.siteFarms()
	m.plantHedges()
	m.coverBanks()
	m.coverHeath(heathZone, 0.035, 0.3)
	m.coverHeath(emberZone, 0.02, 0.2)
	m.coverHill()
	m.coverUpland()
	m.coverPits()
	m.coverFen()
	m.coverCarr()
	m.coverWoods()
	pines.cover()
	m.coverTowns()
	m.coverLines()
	m.layTracks(pines)
	m.dig()
	m.turnToPeat()
	m.hand()
	m.findHeat()
	m.spreadCanopy()
	m.namePlaces()
	return m.District
}

func newMaker(seed uint64) *maker {
	m := &maker{District: empty(seed), river: newRiver(seed), zone: make([]zone, Cols*Rows)}
	m.relief = newRelief(seed, m.river)
	return m
}

// coverLines draws what is long and narrow over everything else, and lets no
// speck of noise stand.
func (m *maker) coverLines() {
	m.fillGaps()
	tidy(m.Cover, 4, func(c Cover) bool { return c == Built || c == Gardens || c == OpenWater || c == Scrub })
	for i, z := range m.zone {
		switch z {
		case waterZone:
			m.Cover[i] = OpenWater
		case railZone:
			m.Cover[i] = RailVerge
		}
		if m.road[i] == 3 && z != waterZone {
			m.Cover[i] = Built
		}
	}
}

// fillGaps gives the scraps that belong to nothing, such as an islet or a corner
// between a road and the river, the rough grass that would grow there.
func (m *maker) fillGaps() {
	for i, c := range m.Cover {
		if c == 0 {
			m.Cover[i] = RoughGrass
		}
	}
}

// hand fills the district from what was made.
func (m *maker) hand() {
	for i := range m.Elevation {
		m.Elevation[i] = float32(m.ground.v[i])
	}
	m.River = []Line{{"River Withen", lineOnMap(within(m.river.bed))}}
	m.Canals = []Line{{"Sallowby Canal", lineOnMap(m.canal)}}
	m.Railway = []Line{{"Old Averholt Line", lineOnMap(m.rail)}}
	for _, b := range m.brooks {
		m.Brooks = append(m.Brooks, Line{"Brook", lineOnMap(b)})
	}
	for _, d := range m.dykes {
		m.Dykes = append(m.Dykes, Line{"Dyke", lineOnMap(d)})
	}
}

// within is the part of a line from its first to its last point in the district.
func within(path []orb.Point) []orb.Point {
	first, last := 0, len(path)-1
	for first < last && !inside(path[first], 0) {
		first++
	}
	for last > first && !inside(path[last], 0) {
		last--
	}
	return path[first : last+1]
}

func empty(seed uint64) *District {
	crs, err := layers.ParseCRS("EPSG:32631")
	if err != nil {
		panic(err) // the code is a constant
	}
	const n = Cols * Rows
	return &District{
		Seed:      seed,
		Grid:      layers.Grid{CRS: crs, West: west, North: north, Cell: Cell, Cols: Cols, Rows: Rows},
		Elevation: make([]float32, n), HeatLoad: make([]float32, n), Canopy: make([]float32, n),
		Cover: make([]Cover, n), Soil: make([]Soil, n),
	}
}
