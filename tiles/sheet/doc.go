// Package sheet draws finished pictures of maps, to be put into a report or on
// a page: the map of one surface in the project's own grid, with what lies on
// the ground drawn over it, its legend, a scale bar, the north, and all that
// must be said beside it.
//
// [Picture.Draw] is the way in. Cells are shown as they are, each pixel the cell
// that holds its middle, in the colours and patterns of package tiles; nothing
// is smoothed. A picture is laid out for paper as wide as A4 (ISO 216, 210 mm):
// sizes are points of that paper, whatever the number of pixels.
package sheet
