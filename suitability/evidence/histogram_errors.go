package evidence

import (
	"errors"
	"fmt"
	"math"
)

// ErrUndefined is wrapped where a figure has no value for these numbers: a rank
// correlation of a constant, a share of nothing.
var ErrUndefined = errors.New("evidence: undefined")

// ErrTooFew is wrapped where there are too few records to judge.
var ErrTooFew = errors.New("evidence: too few to judge")

// ErrUnknown is wrapped where a value is not a number: what is not known must be
// left out by the caller, who knows why.
var ErrUnknown = errors.New("evidence: not a number")

func undefined(format string, args ...any) error {
	return fmt.Errorf("%w: "+format, append([]any{ErrUndefined}, args...)...)
}

// known refuses NaN and infinities, with their place.
func known(what string, values []float64) error {
	for i, v := range values {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return fmt.Errorf("%w: %s %d is %g; hint: leave out cells that are not assessed", ErrUnknown, what, i, v)
		}
	}
	return nil
}
