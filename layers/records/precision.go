package records

import "math"

// The WGS84 ellipsoid.
const (
	semiMajor     = 6378137.0
	eccentricity2 = (2 - 1/298.257223563) / 298.257223563
)

// degreeLengths are the metres of one degree along the meridian and along the
// parallel at a latitude: π/180 times R = a(1 − e²)/(1 − e² sin²φ)^1.5 and
// X = a cos φ/√(1 − e² sin²φ) (Chapman & Wieczorek 2020, Georeferencing Best
// Practices; WGS84).
func degreeLengths(latitude float64) (north, east float64) {
	sin, cos := math.Sincos(latitude * math.Pi / 180)
	w := 1 - eccentricity2*sin*sin
	north = semiMajor * (1 - eccentricity2) / (w * math.Sqrt(w))
	east = semiMajor * math.Abs(cos) / math.Sqrt(w)
	return north * math.Pi / 180, east * math.Pi / 180
}

// PrecisionUncertainty is the uncertainty, in metres, that coordinates given to
// a step of so many decimal degrees leave at a latitude: the diagonal of the
// step's cell (Chapman & Wieczorek 2020, table of uncertainty from coordinate
// precision).
func PrecisionUncertainty(step, latitude float64) float64 {
	north, east := degreeLengths(latitude)
	return math.Hypot(north*step, east*step)
}

// SquareUncertainty is half the diagonal of a square, in metres: what a grid
// reference leaves open, 71 for 100 m (Darwin Core, coordinateUncertaintyInMeters).
func SquareUncertainty(side float64) float64 { return side * math.Sqrt2 / 2 }

// resolution is half the step of so many decimals, along the meridian in metres.
func resolution(decimals int, latitude float64) float64 {
	north, _ := degreeLengths(latitude)
	return north * math.Pow10(-decimals) / 2
}
