package suitability

import (
	"math"

	"tussock/layers"
)

func floatBits(v float64) uint64 { return math.Float64bits(v) }
func bitsFloat(b uint64) float64 { return math.Float64frombits(b) }

// statsOfBytes sums stored bytes; scale turns them into the plane's unit.
func statsOfBytes(cells []byte, nodata byte, scale float64) tileStats {
	var histogram [256]uint32
	for _, c := range cells {
		histogram[c]++
	}
	var s tileStats
	for code, n := range histogram {
		if n == 0 || byte(code) == nodata {
			continue
		}
		s.add(float64(code)*scale, n)
	}
	return s
}

func statsOfFloats(cells []float32) tileStats {
	var s tileStats
	for _, c := range cells {
		if c == c { // known
			s.add(float64(c), 1)
		}
	}
	return s
}

func (s *tileStats) add(v float64, n uint32) {
	if s.Count == 0 {
		s.Min, s.Max = v, v
	}
	s.Min, s.Max = min(s.Min, v), max(s.Max, v)
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
