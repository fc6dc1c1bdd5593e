package suitability

import (
	"math"

	"tussock/layers"
)

func floatBits(v float64) uint64 { return math.Float64bits(v) }
func bitsFloat(b uint64) float64 { return math.Float64frombits(b) }

// statsOfBytes sums a tile of stored suitabilities.
func statsOfBytes(cells []byte) tileStats {
	// Neighbours are often equal; counting them apart lets the processor count
	// several at a time.
	var counts [4][256]uint32
	for i := 0; i+4 <= len(cells); i += 4 {
		four := cells[i : i+4 : i+4]
		counts[0][four[0]]++
		counts[1][four[1]]++
		counts[2][four[2]]++
		counts[3][four[3]]++
	}
	for _, c := range cells[len(cells)/4*4:] {
		counts[0][c]++
	}
	var s tileStats
	for code := range ByteNodata {
		if n := counts[0][code] + counts[1][code] + counts[2][code] + counts[3][code]; n > 0 {
			s.add(float64(code)*ByteScale, n)
		}
	}
	return s
}

func statsOfFloats(cells []float32) tileStats {
	var s tileStats
	low, high := float32(math.Inf(1)), float32(math.Inf(-1))
	for _, c := range cells {
		if c != c { // unknown
			continue
		}
		if c < low {
			low = c
		}
		if c > high {
			high = c
		}
		v := float64(c)
		s.Count++
		s.Sum += v
		s.Sq += v * v
	}
	if s.Count > 0 {
		s.Min, s.Max = float64(low), float64(high)
	}
	return s
}

// add adds a value that n cells have; values must rise from one to the next.
func (s *tileStats) add(v float64, n uint32) {
	if s.Count == 0 {
		s.Min = v
	}
	s.Max = v
	s.Count += n
	s.Sum += v * float64(n)
	s.Sq += v * v * float64(n)
}

// surfaceStats joins the tiles of a surface in row order.
type surfaceStats struct {
	Count    uint64
	Min, Max float64
	sum, sq  float64
}

func (s *surfaceStats) join(t tileStats) {
	if t.Count == 0 {
		return
	}
	if s.Count == 0 {
		s.Min, s.Max = t.Min, t.Max
	}
	s.Min, s.Max = min(s.Min, t.Min), max(s.Max, t.Max)
	s.Count += uint64(t.Count)
	s.sum += t.Sum
	s.sq += t.Sq
}

// public are the statistics as a file states them. Count must not be 0.
func (s surfaceStats) public(g layers.Grid) layers.Statistics {
	n := float64(s.Count)
	mean := s.sum / n
	return layers.Statistics{
		Count: s.Count, Min: s.Min, Max: s.Max, Mean: mean,
		StdDev:       math.Sqrt(max(s.sq/n-mean*mean, 0)),
		ValidPercent: 100 * n / float64(g.Window().Cells()),
	}
}
