package life

import "tussock/cmd/averholt/land"

// rangePart is one polygon of a species' documented range, before it is drawn.
type rangePart struct {
	status string // extant, uncertain, historic or reintroduced
	year   int    // of the map
	scale  int    // its denominator
	author string
	note   string
	where  area
}

// Who drew the ranges: a role and invented initials.
const (
	recorderTrust = "M. T., county recorder"
	wardenHeaths  = "A. K., warden of the heaths"
	fenGroup      = "J. R., fen survey group"
	pondCount     = "S. O., pond count"
	handBook      = "district handbook, E. V."
)

// rangePlan is what people hold to be the range of each species. What is not
// drawn is outside.
func rangePlan(g *ground) map[string][]rangePart {
	ling, ember, skarn := g.place("Great Ling Common"), g.heathsAt("Emberlow Heath", 2000), g.place("Skarn Tops")
	pits, kelder, fen := g.place("Dunstall Pits"), g.place("Kelder Plantation"), g.place("Mirkwater Fen")
	lingMiddle, emberMiddle, kelderMiddle := g.centroid(ling), g.centroid(ember), g.centroid(kelder)
	east, lowland := g.eastOfRiver(), g.below(120)
	deepFen := core(fen, 250)
	line := g.along(g.d.Railway, 250)
	kelderSouth := kelder.and(g.southOf(g.southernEdge(kelder) + 700))
	return map[string][]rangePart{
		"natterjack": {
			{"extant", 2022, 25000, wardenHeaths, "breeding pools checked every spring since 2009", pits.or(ling.and(g.westOf(lingMiddle[0])).and(g.southOf(lingMiddle[1])))},
			{"historic", 1999, 50000, handBook, "last spawn strings seen in 1988, before the pools were planted up", ember},
		},
		"great_crested_newt": {
			{"extant", 2019, 100000, pondCount, "loam and clay east of the Withen; farm ponds counted 2016-2018", east.and(g.soils(land.Loam, land.Clay))},
			{"uncertain", 2021, 50000, pondCount, "two reports from gardens around Pinnick, neither with a picture", g.round(g.middle("Pinnick"), 1500)},
		},
		"smooth_newt": {
			{"extant", 2016, 250000, recorderTrust, "anywhere with ponds", area(whole).but(skarn)},
			{"uncertain", 2016, 100000, recorderTrust, "one old report from a peat pool", skarn},
		},
		"common_toad": {{"extant", 2016, 250000, recorderTrust, "whole district", whole}},
		"sand_lizard": {
			{"extant", 2023, 25000, wardenHeaths, "walked every year", ling},
			{"reintroduced", 2017, 10000, wardenHeaths, "61 young released in 2014, 2015 and 2016; bred in 2019", pits},
			{"historic", 1996, 50000, handBook, "east block, not seen since the fire of 1976", ember.but(g.westOf(emberMiddle[0]))},
			{"uncertain", 2020, 50000, recorderTrust, "wide rides along the south edge look right; one report in 2018", kelderSouth},
		},
		"common_lizard": {{"extant", 2016, 250000, recorderTrust, "whole district", whole}},
		"slow_worm": {
			{"extant", 2016, 100000, recorderTrust, "whole district but the wettest fen", area(whole).but(deepFen)},
			{"uncertain", 2018, 50000, fenGroup, "never found on the fen's islands, never looked for properly", deepFen},
		},
		"adder": {
			{"extant", 2024, 50000, recorderTrust, "Skarn Tops, winter banks known", skarn},
			{"extant", 2023, 25000, wardenHeaths, "Great Ling Common", ling},
			{"extant", 2021, 50000, recorderTrust, "clearfells and rides in the north of the plantation", kelder.but(g.southOf(kelderMiddle[1]))},
			{"uncertain", 2017, 50000, recorderTrust, "reports from the east part of the old line, none confirmed", line.but(g.westOf(middleOf(g.d.Railway)))},
			{"historic", 2001, 50000, handBook, "last seen in 1997", ember},
		},
		"grass_snake": {
			{"extant", 2018, 100000, recorderTrust, "lowland, roughly below the 120 m contour", lowland},
			{"uncertain", 2018, 100000, recorderTrust, "valley at Thorle", g.round(g.middle("Thorle"), 1800).and(g.below(170)).but(skarn)},
		},
		"smooth_snake": {
			{"extant", 2023, 25000, wardenHeaths, "refuges checked under licence", ling.and(g.westOf(g.middle("Pinnick")[0]))},
			{"uncertain", 2019, 50000, recorderTrust, "a slough found in 2017; could have been a grass snake's", ember.and(g.westOf(emberMiddle[0]))},
		},
	}
}

// southernEdge is the y below which a twentieth of an area lies.
func (g *ground) southernEdge(a area) float64 {
	var rows [land.Rows]int
	n := 0
	for i := range land.Cols * land.Rows {
		if a(i) {
			rows[i/land.Cols]++
			n++
		}
	}
	row, seen := land.Rows-1, 0
	for ; row > 0 && seen < n/20; row-- {
		seen += rows[row]
	}
	return g.at(row * land.Cols)[1]
}
