package suitability

import "tussock/layers"

// Fade is how the worth of a feature falls with distance in metres: a curve
// that never rises, level before its first knot and 0 beyond its last.
type Fade struct{ Curve Curve }

var _ layers.Fade = Fade{}

// Factor is what a feature so many metres away counts for, 0 to 1.
func (f Fade) Factor(metres float64) float64 {
	if metres > f.Limit() {
		return 0
	}
	return f.Curve.Rate(metres)
}

// Limit is the distance, in metres, beyond which no feature counts.
func (f Fade) Limit() float64 {
	if len(f.Curve) == 0 {
		return 0
	}
	return f.Curve[len(f.Curve)-1].X
}

// Key is a canonical text.
func (f Fade) Key() string { return f.Curve.canonical() }

// Validate lists what is wrong with the fade, each a *[FieldError] with its
// place, path.
func (f Fade) Validate(path string) []error {
	errs := checkKnots(f.Curve, path, "distance")
	if len(errs) > 0 {
		return errs
	}
	if f.Curve[0].X < 0 {
		errs = append(errs, fieldError(path+"[0]", "%g m is no distance", f.Curve[0].X))
	}
	for i, k := range f.Curve[1:] {
		if k.Y > f.Curve[i].Y {
			errs = append(errs, fieldError(knotPath(path, i+1), "a feature counts for more at %g m than nearer by: %g after %g", k.X, k.Y, f.Curve[i].Y))
		}
	}
	return errs
}
