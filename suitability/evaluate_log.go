package suitability

import "math"

// Logarithms and powers to base 2 by table. The mantissa's first eight bits
// choose an entry and a short series does the rest: log2 is right within 1e-10
// and exp2 within 5e-10 of its value, against the 6e-8 of a float32. Both are
// exact at a rating of 1.
const tableBits = 8

type logEntry struct{ log, inverse float64 }

var (
	logTable [1 << tableBits]logEntry
	expTable [1 << tableBits]uint64
)

func init() {
	for i := range logTable {
		c := 1 + float64(i)/(1<<tableBits)
		logTable[i] = logEntry{log: math.Log2(c), inverse: 1 / c}
		expTable[i] = math.Float64bits(math.Exp2(float64(i) / (1 << tableBits)))
	}
}

const (
	mantissa = 1<<52 - 1
	rest     = 1<<(52-tableBits) - 1
	one      = 1023 << 52

	// The series of log2(1 + r): r/ln 2 · (1 − r/2 + r²/3).
	log2A = 1 / math.Ln2
	log2B = -1 / (2 * math.Ln2)
	log2C = 1 / (3 * math.Ln2)
)

// fastLog2 is log2 of a rating: −Inf for 0, NaN for NaN.
func fastLog2(x float64) float64 {
	if !(x >= 0x1p-1000) {
		if x <= 0x1p-1000 {
			return math.Inf(-1)
		}
		return x
	}
	bits := math.Float64bits(x)
	entry := &logTable[bits>>(52-tableBits)&(1<<tableBits-1)]
	r := (math.Float64frombits(bits&rest|one) - 1) * entry.inverse
	series := log2A + float64(r*(log2B+float64(r*log2C)))
	return float64(int(bits>>52)-1023) + entry.log + float64(r*series)
}

// fastExp2 is 2^x for x ≤ 0 and a little beyond; 0 below 2^-1000.
func fastExp2(x float64) float64 {
	if !(x >= -1000) {
		if x < -1000 {
			return 0
		}
		return x
	}
	steps := int(math.Float64frombits(math.Float64bits(x*(1<<tableBits)+shift)) - shift)
	f := (x - float64(steps)*(1.0/(1<<tableBits))) * math.Ln2
	bits := expTable[steps&(1<<tableBits-1)] + uint64(steps>>tableBits)<<52
	return math.Float64frombits(bits) * (1 + float64(f*(1+float64(f*0.5))))
}

// shift rounds to a whole number when added and taken away again.
const shift = 3 << 51
