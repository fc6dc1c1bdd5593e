package suitability

// Facts are what is known of a species besides what shapes its map: for
// planning visits, checking records, screening parcels and keeping people safe.
// They are no part of a profile's hash, since no cell of a map depends on them.
// A zero value always means that nothing was said, never "none" or "no".
type Facts struct {
	Legal        string   // a note on protection; the local law decides
	Why          string   // why the species is sensitive
	ElevationMax *float64 // metres; nil where nothing was said
	InWater      bool     // met in open water, so that a record there is no mistake

	Hazard     Hazard
	Movement   Movement
	Season     Season
	Survey     []SurveyMethod
	Patch      Patch
	LookAlikes []LookAlike
}

// Movement is how far the animals go.
type Movement struct {
	HomeRange Spread  // square metres
	Typical   float64 // metres, between where an animal breeds and where it lives
	Far       float64 // metres that some are known to go
	Max       float64 // metres, the longest known
	Effect    float64 // metres, the scale at which the land around matters
	Source    string
}

// Spread is a low, a most likely and a high value.
type Spread struct{ Low, Mode, High float64 }

// SurveyMethod is a way to look for a species.
type SurveyMethod struct {
	Method   string
	P        Spread // probability that one visit finds the species where it lives
	When     string // season, weather and hours
	Spacing  int    // days between visits; 0 where nothing was said
	Pairs    Pairs
	Licensed bool // only licensed people may use it
	Source   string
}

// Patch is how much room a population takes, and what parts one from the next.
type Patch struct {
	Min     float64 // square metres
	Gap     float64 // metres between patches that are still one
	Barrier float64 // vehicles a day from which a road parts two patches
	Source  string
}

// LookAlike is what the species is mistaken for, and the mark that tells.
type LookAlike struct {
	With   string // the id of another species of the project, or words
	Mark   string
	Source string
}
