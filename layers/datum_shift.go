package layers

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/paulmach/orb"

	"tussock/layers/internal/gdal"
)

// Shift says how well the datums of two CRSs are joined at a place.
type Shift struct {
	Operation   string  // as PROJ names it
	Accuracy    float64 // metres; NaN where it is not known
	Approximate bool    // no shift between the datums is known, and none was made
}

// shiftBound is the accuracy, in metres, from which a shift is worth a warning:
// about that of a hand-held receiver (common practice, no source).
const shiftBound = 5

// Warning is one sentence where a shift may be out by more than 5 m, else "".
func (s Shift) Warning() string {
	switch {
	case s.Approximate:
		return "no shift between the datums is known here; places may be out by a hundred metres or more"
	case math.IsNaN(s.Accuracy):
		return fmt.Sprintf("how accurate the shift of datum (%s) is here is not known", s.Operation)
	case s.Accuracy > shiftBound:
		return fmt.Sprintf("the shift of datum (%s) is accurate to %.3g m only; a better one may need a grid of corrections that is not installed", s.Operation, s.Accuracy)
	}
	return ""
}

// DatumShift tells which shift a transform makes at a point of the first CRS.
// Grids of corrections that are not installed leave only a coarser one: from
// NAD27, for example, the error may be tens of metres. The accuracy is what the
// EPSG dataset states.
func DatumShift(from, to CRS, at orb.Point) (Shift, error) {
	if err := joinable(from, to); err != nil {
		return Shift{}, err
	}
	if from.Equal(to) {
		return Shift{Operation: "none"}, nil
	}
	s, err := gdal.NewShift(from.wkt, to.wkt, at[0], at[1])
	if err != nil {
		return Shift{}, fmt.Errorf("%w: from %q to %q at %.9g, %.9g: %w", ErrCRS, from.name, to.name, at[0], at[1], err)
	}
	shift := Shift{Operation: withoutAxes(s.Operation), Accuracy: s.Accuracy, Approximate: s.Ballpark}
	if s.Accuracy < 0 {
		shift.Accuracy = math.NaN()
	}
	return shift, nil
}

// withoutAxes leaves out of an operation's name the steps that only swap axes.
func withoutAxes(operation string) string {
	steps := strings.Split(operation, " + ")
	steps = slices.DeleteFunc(steps, func(s string) bool { return strings.HasPrefix(s, "axis order change") })
	return strings.Join(steps, " + ")
}
