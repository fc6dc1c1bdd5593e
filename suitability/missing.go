package suitability

import (
	"fmt"
	"strconv"
)

// MissingKind is what to do where an input of the model is unknown.
type MissingKind uint8

// The ways to treat an unknown input.
const (
	// MissingUnknown: the cell is not assessed.
	MissingUnknown MissingKind = iota
	// MissingLeaveOut: the criterion is left out and the weights of the others
	// are scaled up; likewise a requisite that has no criterion left. A
	// multiplier or exclusion without input does nothing. A cell without any
	// criterion is not assessed; under ordered weights neither is a cell that
	// lacks a whole requisite, since their number is fixed.
	MissingLeaveOut
	// MissingStated: the stated value stands for the rating of a criterion or
	// multiplier. An exclusion without input does nothing.
	MissingStated
)

// Missing is how a profile treats unknown inputs. The zero Missing leaves such
// cells unassessed.
type Missing struct {
	Kind  MissingKind
	Value float64 // the rating, 0 to 1, for MissingStated
}

// ParseMissing reads "unknown", "leave out" or a number from 0 to 1.
func ParseMissing(text string) (Missing, error) {
	switch text {
	case "", "unknown":
		return Missing{}, nil
	case "leave out":
		return Missing{Kind: MissingLeaveOut}, nil
	}
	if v, err := strconv.ParseFloat(text, 64); err == nil && v >= 0 && v <= 1 {
		return Missing{Kind: MissingStated, Value: v}, nil
	}
	return Missing{}, fmt.Errorf("suitability: %q does not say what to do with missing input; use unknown, leave out, or a number from 0 to 1", text)
}

func (m Missing) String() string {
	switch m.Kind {
	case MissingLeaveOut:
		return "leave out"
	case MissingStated:
		return strconv.FormatFloat(m.Value, 'g', -1, 64)
	}
	return "unknown"
}

func (m Missing) check(path string) []error {
	if m.Kind > MissingStated {
		return []error{fieldError(path, "%d is no way to treat missing input", m.Kind)}
	}
	if m.Kind == MissingStated && !(m.Value >= 0 && m.Value <= 1) {
		return []error{fieldError(path, "stated rating %g is not between 0 and 1", m.Value)}
	}
	return nil
}
