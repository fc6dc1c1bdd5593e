package evidence

import "tussock/suitability"

// quantiles are the ranks of a median, a 10th and a 90th percentile among n
// draws: the least rank that is not below q·n, from 1, so that each is one of the
// draws (type 1 of Hyndman and Fan 1996, The American Statistician 50:361-365,
// from memory).
func quantiles(n int) (p10, median, p90 int) {
	rank := func(percent int) int { return (n*percent + 99) / 100 }
	return rank(10), rank(50), rank(90)
}

// countedAtOnce units are counted together, so that a draw is read in runs.
const countedAtOnce = 64

// drawnSpread is what becomes of one unit's draws.
type drawnSpread struct{ p10, median, p90 uint8 }

// orderStatistics finds the quantiles of each unit's draws by counting. Bytes of
// one draw lie together, draw after draw. Rounding to bytes keeps order, so the
// k-th smallest byte is the byte of the k-th smallest suitability.
func orderStatistics(bytes []uint8, units int, out []drawnSpread) {
	draws := len(bytes) / max(units, 1)
	low, middle, high := quantiles(draws)
	var counts [countedAtOnce][256]uint16
	for from := 0; from < units; from += countedAtOnce {
		n := min(countedAtOnce, units-from)
		clear(counts[:n])
		for d := range draws {
			for i, b := range bytes[d*units+from:][:n] {
				counts[i][b]++
			}
		}
		for i := range n {
			out[from+i] = drawnSpread{nth(&counts[i], low), nth(&counts[i], middle), nth(&counts[i], high)}
		}
	}
}

// nth is the k-th smallest of the counted bytes, k from 1.
func nth(counts *[256]uint16, k int) uint8 {
	for b, n := range counts {
		if k -= int(n); k <= 0 {
			return uint8(b)
		}
	}
	return suitability.ByteNodata
}

// drawnMoments are sums over draws of what a draw's suitability differs from the
// stated one.
type drawnMoments struct{ sum, squares float64 }

// add counts a difference n times.
func (m *drawnMoments) add(d float64, n float64) {
	m.sum += float64(n * d)
	m.squares += float64(n * float64(d*d))
}

// variance is the population's, over n draws.
func (m drawnMoments) variance(n float64) float64 {
	mean := m.sum / n
	return max(m.squares/n-float64(mean*mean), 0)
}
