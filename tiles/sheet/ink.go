package sheet

import (
	"image/color"

	"tussock/tiles"
)

// The inks of a picture. Lines and names over the map are dark with a light rim,
// so that one of the two stands out wherever they run; the map below goes from
// nearly white to nearly black.
var (
	paper = color.NRGBA{255, 255, 255, 255}
	rim   = tiles.Tone(97, 3, 95)   // around lines and names
	ink   = tiles.Tone(17, 5, 230)  // words and the frame
	quiet = tiles.Tone(38, 4, 230)  // lesser words
	rule  = tiles.Tone(70, 3, 230)  // thin rules between blocks
	alarm = tiles.Tone(36, 55, 30)  // hazards
	pale  = tiles.Tone(96, 3, 60)   // behind cautions
	ways  = tiles.Tone(25, 30, 15)  // roads and paths
	rails = tiles.Tone(15, 2, 280)  // railways
	wet   = tiles.Tone(34, 38, 262) // water's edge, waves, rivers
	pool  = tiles.Tone(83, 16, 248) // open water
	edge  = tiles.Tone(22, 40, 330) // a boundary
)
