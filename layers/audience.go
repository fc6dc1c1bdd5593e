package layers

import (
	"errors"
	"fmt"
	"strings"
)

// Audience is who an output is for. It is chosen once, where the program
// meets its user, and handed down as a value; the zero Audience is nobody, and
// nothing is written for nobody.
type Audience uint8

// The audiences, from the widest to the narrowest.
const (
	Public Audience = iota + 1
	Volunteer
	Partner
	Staff
)

// ErrNoAudience is returned by everything that writes when nobody was named.
var ErrNoAudience = errors.New("layers: no audience was named for this output")

var audienceNames = [...]string{"", "public", "volunteer", "partner", "staff"}

// AudienceNames are the words that ParseAudience understands.
func AudienceNames() []string { return append([]string(nil), audienceNames[1:]...) }

// ParseAudience reads an audience's name.
func ParseAudience(name string) (Audience, error) {
	for i, known := range audienceNames {
		if i > 0 && strings.EqualFold(name, known) {
			return Audience(i), nil
		}
	}
	return 0, fmt.Errorf("layers: %q is no audience; use %s", name, strings.Join(audienceNames[1:], ", "))
}

func (a Audience) String() string {
	if int(a) < len(audienceNames) && a != 0 {
		return audienceNames[a]
	}
	return "nobody"
}

// Check returns ErrNoAudience for the zero Audience.
func (a Audience) Check() error {
	if a == 0 || int(a) >= len(audienceNames) {
		return ErrNoAudience
	}
	return nil
}

// Sensitivity is how much harm knowledge of a place could do to a species:
// the categories of Chapman (2020), Current Best Practices for Generalizing
// Sensitive Species Occurrence Data, table 7.
type Sensitivity uint8

// The categories, from none to the most sensitive.
const (
	NotSensitive Sensitivity = iota
	LowSensitivity
	MediumSensitivity
	HighSensitivity
	ExtremeSensitivity
)

var sensitivityNames = [...]string{"none", "low", "medium", "high", "extreme"}

// ParseSensitivity reads a category's name; the empty string is "none".
func ParseSensitivity(name string) (Sensitivity, error) {
	if name == "" {
		return NotSensitive, nil
	}
	for i, known := range sensitivityNames {
		if strings.EqualFold(name, known) {
			return Sensitivity(i), nil
		}
	}
	return 0, fmt.Errorf("layers: %q is no sensitivity; use %s", name, strings.Join(sensitivityNames[:], ", "))
}

func (s Sensitivity) String() string {
	if int(s) < len(sensitivityNames) {
		return sensitivityNames[s]
	}
	return "none"
}

// RecordCellDegrees is the side, in decimal degrees, of the fixed grid that a
// record's place is rounded to outside the staff audience (Chapman 2020,
// table 7); 0 means as recorded. Extreme records are withheld altogether.
func (s Sensitivity) RecordCellDegrees() float64 {
	return [...]float64{0, 0.001, 0.01, 0.1, 1}[s]
}

// MapCell is the finest cell, in metres, that a map of a species may show to an
// audience, and whether it may be shown at all. Records of highly sensitive
// species shape no map below staff, but a sharp map still points at the few
// places that fit; so the public sees those in cells of 250 m and none of the
// extreme ones (the project's own rule: common practice, no source).
func (a Audience) MapCell(s Sensitivity) (metres float64, shown bool) {
	switch {
	case a.Check() != nil:
		return 0, false
	case a == Staff:
		return 0, true
	case s == ExtremeSensitivity:
		return 0, false
	case s == HighSensitivity && a == Public:
		return 250, true
	default:
		return 0, true
	}
}
