package suitability

import "strings"

// Hazard is the harm that people can come to where the species is looked for.
type Hazard struct {
	Level  HazardLevel
	Text   string
	Source string
}

// HazardLevel is the kind of the worst harm.
type HazardLevel uint8

// The levels. Where nothing was said of a hazard none can be ruled out, which
// is not the same as no hazard.
const (
	HazardUnstated HazardLevel = iota
	HazardNone
	HazardLow
	HazardRoad
	HazardWater
	HazardVenomous
)

var hazardNames = [...]string{"", "none", "low", "road", "water", "venomous"}

// ParseHazardLevel reads a level's name; "" is unstated.
func ParseHazardLevel(name string) (HazardLevel, bool) {
	for i, known := range hazardNames {
		if strings.EqualFold(name, known) {
			return HazardLevel(i), true
		}
	}
	return HazardUnstated, false
}

func (l HazardLevel) String() string {
	if l == HazardUnstated || int(l) >= len(hazardNames) {
		return "unstated"
	}
	return hazardNames[l]
}

// Pairs tells whether a survey method is for two people at a time.
type Pairs uint8

// What is asked of a method.
const (
	PairsUnstated Pairs = iota
	PairsAdvised
	PairsRequired
)

var pairsNames = [...]string{"", "advised", "required"}

// ParsePairs reads what is asked; "" is unstated.
func ParsePairs(name string) (Pairs, bool) {
	for i, known := range pairsNames {
		if strings.EqualFold(name, known) {
			return Pairs(i), true
		}
	}
	return PairsUnstated, false
}

func (p Pairs) String() string {
	if p == PairsUnstated || int(p) >= len(pairsNames) {
		return "unstated"
	}
	return pairsNames[p]
}
