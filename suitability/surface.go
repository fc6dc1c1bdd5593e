package suitability

import "tussock/layers"

// Plane is one of the rasters that make up the surface of a species.
type Plane uint8

// The planes of a surface.
const (
	// HabitatPlane is S before the range rule. It is what evidence is judged on.
	HabitatPlane Plane = iota
	// SuitabilityPlane is S after the public range rule: outside the documented
	// range, and where a species is only historic, nothing is shown.
	SuitabilityPlane
	// ClassPlane is the class of the exact suitability, taken before it is
	// rounded to a byte: a byte near a class break cannot tell.
	ClassPlane
	// StandingPlane is why a cell shows what it shows.
	StandingPlane
	// CountPlane is how many species reach a class in a cell. It belongs to the
	// project, not to one species.
	CountPlane
)

var planeNames = [...]string{"habitat", "suitability", "class", "standing", "count"}

func (p Plane) String() string {
	if int(p) < len(planeNames) {
		return planeNames[p]
	}
	return ""
}

// Continuous tells whether a plane's values may be averaged; the others are
// classes, which may only be counted.
func (p Plane) Continuous() bool { return p == HabitatPlane || p == SuitabilityPlane }

// planesFor are the planes that an audience gets of a species: the habitat map
// ignores the documented range, which only staff know how to read.
func planesFor(a layers.Audience) []Plane {
	if a == layers.Staff {
		return []Plane{HabitatPlane, SuitabilityPlane, ClassPlane, StandingPlane}
	}
	return []Plane{SuitabilityPlane, ClassPlane, StandingPlane}
}

// Values is how numbers are stored in a surface.
type Values uint8

// The ways to store numbers.
const (
	// Bytes are steps of 0.005 from 0 to 1, with 255 for unknown.
	Bytes Values = iota
	// Floats are 32-bit floats, with NaN for unknown.
	Floats
)

func (v Values) String() string {
	if v == Floats {
		return "floats"
	}
	return "bytes"
}
