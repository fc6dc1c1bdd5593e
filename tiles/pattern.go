package tiles

import "tussock/suitability"

// patternSide is the period of all patterns, in pixels of a 256 px tile. It
// divides the tile, so that a pattern runs on across its edges.
const patternSide = 16

// pattern is one period: '#' is ink, anything else ground.
type pattern [patternSide]uint16

// stencil reads a pattern from rows that repeat to fill the period.
func stencil(rows ...string) *pattern {
	if patternSide%len(rows) != 0 || patternSide%len(rows[0]) != 0 {
		panic("tiles: a pattern does not fit its period")
	}
	var p pattern
	for y := range patternSide {
		row := rows[y%len(rows)]
		for x := range patternSide {
			if row[x%len(row)] == '#' {
				p[y] |= 1 << x
			}
		}
	}
	return &p
}

// Patterns carry meaning next to colour: a hatch for uncertain range, symbols
// for introduced and historic range, and one for each reason to show nothing.
var patterns = [standings]*pattern{
	suitability.Uncertain: stencil(
		"#.......", ".......#", "......#.", ".....#..", "....#...", "...#....", "..#.....", ".#......"),
	suitability.Introduced: stencil(
		"................", "...#............", "...#............", ".#####..........",
		"...#............", "...#............", "................", "................",
		"................", "...........#....", "...........#....", ".........#####..",
		"...........#....", "...........#....", "................", "................"),
	suitability.Historic: stencil(
		"................", ".######.........", "................", "................",
		"................", "................", "................", "................",
		"................", ".........######.", "................", "................",
		"................", "................", "................", "................"),
	suitability.Edge: stencil(
		"#...", "....", "....", "...."),
	suitability.Vagrant: stencil(
		"................", "...##...........", "..#..#..........", ".#....#.........",
		".#....#.........", "..#..#..........", "...##...........", "................",
		"................", "...........##...", "..........#..#..", ".........#....#.",
		".........#....#.", "..........#..#..", "...........##...", "................"),
	suitability.Outside: stencil(
		"................", "................", "................", "....##..........",
		"................", "................", "................", "................",
		"................", "................", "................", "............##..",
		"................", "................", "................", "................"),
	suitability.Excluded: stencil(
		"#......#", ".#....#.", "..#..#..", "...##...", "...##...", "..#..#..", ".#....#.", "#......#"),
	suitability.NotAssessed: stencil(
		"##......", "##......", "........", "........", "....##..", "....##..", "........", "........"),
}
