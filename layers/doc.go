// Package layers is the ground that the model stands on: one grid, and every
// source of the project lined up on it.
//
// A [Grid] is a projected coordinate reference system in metres with square
// cells, north up. A [Layer] is a source (land cover, elevation, ponds, roads)
// that can be read for any [Window] of that grid as a [Block]. A [Measure]
// turns blocks into one number per cell and says how far it looks (its reach),
// so that a window can be computed from the window grown by that reach and
// from nothing else.
//
// Everything here gives the same bytes for a cell whichever window it is asked
// for in: transforms are exact or run on fixed global chunks, and sums of
// floats run in an order that depends on the cell alone.
//
// Distances are metres and areas are square metres unless a name says
// otherwise. Rows count downwards from the north edge, columns from the west.
package layers
