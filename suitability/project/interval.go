package project

import (
	"math"
	"strconv"
	"strings"
)

// interval is the numbers that a value may have. It is written as mathematics
// does: "[0,1)" is from 0 to under 1, and "(0,]" is above 0.
type interval struct {
	low, high         float64
	lowOpen, highOpen bool
}

// parseInterval reads a field's tag; a mistake in it is a programmer's.
func parseInterval(tag string) interval {
	in := interval{low: math.Inf(-1), high: math.Inf(1)}
	if tag == "" {
		return in
	}
	low, high, ok := strings.Cut(tag[1:len(tag)-1], ",")
	if !ok {
		panic("project: interval " + tag)
	}
	in.lowOpen, in.highOpen = tag[0] == '(', strings.HasSuffix(tag, ")")
	for text, bound := range map[string]*float64{low: &in.low, high: &in.high} {
		if text == "" {
			continue
		}
		v, err := strconv.ParseFloat(text, 64)
		if err != nil {
			panic("project: interval " + tag)
		}
		*bound = v
	}
	return in
}

func (in interval) holds(v float64) bool {
	above := v > in.low || v == in.low && !in.lowOpen
	below := v < in.high || v == in.high && !in.highOpen
	return above && below
}

// String is the interval in words, to follow "must be".
func (in interval) String() string {
	switch noLow, noHigh := math.IsInf(in.low, -1), math.IsInf(in.high, 1); {
	case noLow && noHigh:
		return "any number"
	case noHigh && in.lowOpen:
		return "greater than " + decimal(in.low)
	case noHigh:
		return decimal(in.low) + " or more"
	case noLow:
		return "at most " + decimal(in.high)
	}
	low, high := decimal(in.low), decimal(in.high)
	switch {
	case in.lowOpen && in.highOpen:
		return "above " + low + " and under " + high
	case in.lowOpen:
		return "above " + low + " and up to " + high
	case in.highOpen:
		return "from " + low + " to under " + high
	}
	return "from " + low + " to " + high
}

func decimal(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }
