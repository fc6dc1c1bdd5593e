package land

import "math"

// latitude is that of the district's middle, degrees; its edges lie less than a
// tenth of a degree away.
const latitude = 56.0

// findHeat fills the heat load from the elevation that is stored.
func (d *District) findHeat() {
	l := fullLattice()
	for i, z := range d.Elevation {
		l.v[i] = float64(z)
	}
	for i := range d.HeatLoad {
		east, north := rise(l, i)
		d.HeatLoad[i] = float32(heatLoad(east, north))
	}
}

// heatLoad is an index of warmth by equation 2 of McCune and Keon (2002, J. Veg.
// Sci. 13:603-606):
//
//	exp(−1.236 + 1.350 cos L cos S − 1.376 cos A sin S sin L − 0.331 sin L sin S + 0.375 sin A sin S)
//
// with latitude L, slope S, and the aspect folded about the line from north-east
// to south-west, A = |180 − |aspect − 225||. The rises are metres per metre.
func heatLoad(east, north float64) float64 {
	slope := math.Atan(math.Hypot(east, north))
	aspect := math.Mod(math.Atan2(-east, -north)*180/math.Pi+360, 360)
	folded := math.Abs(180-math.Abs(aspect-225)) * math.Pi / 180
	sinL, cosL := math.Sincos(latitude * math.Pi / 180)
	sinS, cosS := math.Sincos(slope)
	sinA, cosA := math.Sincos(folded)
	return math.Exp(-1.236 + 1.350*cosL*cosS - 1.376*cosA*sinS*sinL - 0.331*sinL*sinS + 0.375*sinA*sinS)
}
