package suitability

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"tussock/layers"
)

// Exclusion is a place where the species is held not to live, whatever else is
// there. It is either of some classes, or of numbers beyond a limit.
type Exclusion struct {
	ID      string
	Measure layers.Measure
	Classes []uint8  // codes, for a measure that gives classes
	Below   *float64 // excluded where the measure < Below, in its unit
	Above   *float64 // excluded where the measure > Above, in its unit
	Source  string   // who or what says so, or "assumption"
}

// Excludes tells whether a measured value, or a class code given as a number,
// is excluded. An unknown value never is.
func (e Exclusion) Excludes(value float64) bool {
	if e.byClass() {
		return value >= 0 && value < float64(layers.NoClass) && slices.Contains(e.Classes, uint8(value))
	}
	return e.Below != nil && value < *e.Below || e.Above != nil && value > *e.Above
}

// LayerNames are the layers that the exclusion reads.
func (e Exclusion) LayerNames() []string {
	if e.Measure == nil {
		return nil
	}
	return e.Measure.LayerNames()
}

func (e Exclusion) byClass() bool { return len(e.Classes) > 0 }

func (e Exclusion) check(path string) []error {
	var errs []error
	if e.ID == "" {
		errs = append(errs, fieldError(path+".id", "it has no name"))
	}
	if e.Measure == nil {
		errs = append(errs, fieldError(path+".measure", "it has no measure"))
	}
	limits := e.Below != nil || e.Above != nil
	if e.byClass() == limits {
		errs = append(errs, fieldError(path, "an exclusion has either classes or a limit (below, above)"))
	}
	if slices.Contains(e.Classes, layers.NoClass) {
		errs = append(errs, fieldError(path+".classes", "code %d means unknown and cannot be excluded", layers.NoClass))
	}
	errs = append(errs, checkLimit(e.Below, path+".below")...)
	errs = append(errs, checkLimit(e.Above, path+".above")...)
	if e.Below != nil && e.Above != nil && *e.Below > *e.Above {
		errs = append(errs, fieldError(path, "below %g and above %g together exclude everything", *e.Below, *e.Above))
	}
	return errs
}

func checkLimit(limit *float64, path string) []error {
	if limit != nil && (math.IsNaN(*limit) || math.IsInf(*limit, 0)) {
		return []error{fieldError(path, "%g is no limit", *limit)}
	}
	return nil
}

func (e Exclusion) canonical() string {
	codes := slices.Clone(e.Classes)
	slices.Sort(codes)
	var b strings.Builder
	fmt.Fprintf(&b, "classes %v", slices.Compact(codes))
	for _, limit := range []*float64{e.Below, e.Above} {
		if limit == nil {
			b.WriteString(" -")
		} else {
			b.WriteString(" " + exact(*limit))
		}
	}
	return b.String()
}
