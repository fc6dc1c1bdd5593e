package suitability

import "math"

// Logarithms and powers to base 2 by table. The mantissa's first eight bits
// choose an entry and a short series does the rest: the logarithm is right
// within 1e-10 and the power within 5e-10 of its value, against the 6e-8 of a
// float32. Both are exact at a rating of 1.
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

// addLogs adds the weighted log2 of each rating to dst: −Inf for 0, NaN for
// NaN. The work is written out in the loop, as a call would cost as much again.
func addLogs(dst, ratings []float64, weight float64) {
	dst = dst[:len(ratings)]
	for i, x := range ratings {
		if !(x >= 0x1p-1000) {
			dst[i] += float64(weight * math.Log(x*0)) // 0 or unknown
			continue
		}
		bits := math.Float64bits(x)
		entry := &logTable[bits>>(52-tableBits)&(1<<tableBits-1)]
		r := (math.Float64frombits(bits&rest|one) - 1) * entry.inverse
		series := log2A + float64(r*(log2B+float64(r*log2C)))
		log := float64(int(bits>>52)-1023) + entry.log + float64(r*series)
		dst[i] += float64(weight * log)
	}
}

// raise replaces each x ≤ 0, or a little beyond, by 2^x; those below −1000 by 0.
func raise(row []float64) {
	for i, x := range row {
		if !(x >= -1000) {
			row[i] = max(x, 0) // unknown stays unknown
			continue
		}
		scaled := x * (1 << tableBits)
		rounded := scaled + shift
		steps := int32(math.Float64bits(rounded))
		f := (scaled - (rounded - shift)) * (math.Ln2 / (1 << tableBits))
		bits := expTable[steps&(1<<tableBits-1)] + uint64(steps>>tableBits)<<52
		row[i] = math.Float64frombits(bits) * (1 + float64(f*(1+float64(f*0.5))))
	}
}

// shift, added to a small number, rounds it to a whole one and leaves that in
// the low bits of the sum.
const shift = 3 << 51
