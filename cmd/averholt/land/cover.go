package land

// Cover is a land cover class by the code that the raster stores.
type Cover uint8

// The classes of land cover. The codes run from 1 in this order; 0 is no class.
const (
	DryHeath Cover = iota + 1
	WetHeath
	RockBarren
	FenReedbed
	Bog
	OpenWater
	BroadleafWood
	ConiferClosed
	ConiferOpen
	Scrub
	RoughGrass
	ImprovedGrass
	Arable
	Gardens
	Built
	SandPit
	RailVerge
)

// covers is the number of classes.
const covers = int(RailVerge)

var coverNames = [...]string{
	"", "dry_heath", "wet_heath", "rock_barren", "fen_reedbed", "bog", "open_water", "broadleaf_wood",
	"conifer_closed", "conifer_open", "scrub", "rough_grass", "improved_grass", "arable", "gardens", "built", "sand_pit", "rail_verge",
}

// String is the class's name in files.
func (c Cover) String() string {
	if int(c) < len(coverNames) {
		return coverNames[c]
	}
	return ""
}

// Soil is a soil class by the code that the raster stores.
type Soil uint8

// The classes of soil. The codes run from 1 in this order; 0 is no class.
const (
	Sand Soil = iota + 1
	Loam
	Clay
	Peat
	Rock
)

var soilNames = [...]string{"", "sand", "loam", "clay", "peat", "rock"}

// String is the class's name in files.
func (s Soil) String() string {
	if int(s) < len(soilNames) {
		return soilNames[s]
	}
	return ""
}
