package land

import (
	"image/color"

	"tussock/layers"
)

// The colours of the maps: as the ground looks from above in early summer, quiet
// enough to draw on.
var coverColours = [covers + 1]color.NRGBA{
	DryHeath: rgb(0x9b7189), WetHeath: rgb(0x837b93), RockBarren: rgb(0xbab5b0), FenReedbed: rgb(0xb3b676), Bog: rgb(0x8a8d74),
	OpenWater: rgb(0x6f9cc2), BroadleafWood: rgb(0x5d8f56), ConiferClosed: rgb(0x37634f), ConiferOpen: rgb(0x8dab85),
	Scrub: rgb(0x97a05f), RoughGrass: rgb(0xc8c78d), ImprovedGrass: rgb(0xa9cc85), Arable: rgb(0xe6dbb6), Gardens: rgb(0xcdb9a9),
	Built: rgb(0x9b6a63), SandPit: rgb(0xefd58c), RailVerge: rgb(0xa58f70),
}

var soilColours = [...]color.NRGBA{
	Sand: rgb(0xecd9a0), Loam: rgb(0xc5a077), Clay: rgb(0x9d8e96), Peat: rgb(0x64534a), Rock: rgb(0xbdbdc0),
}

func rgb(v uint32) color.NRGBA {
	return color.NRGBA{R: uint8(v >> 16), G: uint8(v >> 8), B: uint8(v), A: 255}
}

func coverLegend() []layers.Class {
	var classes []layers.Class
	for c := DryHeath; c <= RailVerge; c++ {
		classes = append(classes, layers.Class{Value: int(c), Name: c.String(), Colour: coverColours[c]})
	}
	return classes
}

func soilLegend() []layers.Class {
	var classes []layers.Class
	for s := Sand; s <= Rock; s++ {
		classes = append(classes, layers.Class{Value: int(s), Name: s.String(), Colour: soilColours[s]})
	}
	return classes
}
