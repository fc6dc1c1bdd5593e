// Package tiles is the picture: it turns a surface (suitability and standing on
// the project's own grid) into map tiles that any web map or general map
// program shows right, with the legend that goes with them.
//
// [Build] is the way in. It samples the surface at the zoom whose pixels match
// its cells, makes the zooms above from those values (never from pictures),
// colours each tile by a [Palette], and writes the tiles as a folder, a PMTiles
// or an MBTiles archive. The same bytes come out for any number of workers.
//
// Tiles are addressed as in the WebMercatorQuad of OGC 17-083r4, Two Dimensional
// Tile Matrix Set: column from the west, row from the north.
package tiles
