package evidence

import (
	"errors"
	"fmt"
)

// Reasons to refuse a calibration; a [*CalibrationRefusal] wraps one of them.
var (
	ErrNotGeometric = errors.New("only a geometric profile can be calibrated: with another rule the model is not log-linear")
	ErrNoEffort     = errors.New("no effort layer: where people looked would be taken for where the species lives")
	ErrFewRecords   = errors.New("too few cleaned records to move experts' weights")
	ErrFewBlocks    = errors.New("records in too few blocks to tell one place from a pattern")
)

// Fewer records or occupied blocks than these are refused (common practice, no
// source).
const (
	LeastCalibrationRecords = 15
	LeastCalibrationBlocks  = 5
)

// CalibrationRefusal says why, and how much was there and needed.
type CalibrationRefusal struct {
	Reason     error
	Have, Need int // both 0 where nothing is counted
}

func (e *CalibrationRefusal) Error() string {
	if e.Need == 0 {
		return "evidence: not calibrated: " + e.Reason.Error() + "\nhint: " + e.hint()
	}
	return fmt.Sprintf("evidence: not calibrated: %v (%d, at least %d are needed)\nhint: %s", e.Reason, e.Have, e.Need, e.hint())
}

func (e *CalibrationRefusal) Unwrap() error { return e.Reason }

func (e *CalibrationRefusal) hint() string {
	switch e.Reason {
	case ErrNotGeometric:
		return "set `rule: geometric`, or keep the experts' weights"
	case ErrNoEffort:
		return "give effort as a layer, from visits, or from all records of the target group"
	default:
		return "keep the experts' weights until there is more"
	}
}

// check refuses what must not be calibrated, and reports what cannot be.
func (d CalibrationData) check(o CalibrateOptions) error {
	if !d.Geometric {
		return &CalibrationRefusal{Reason: ErrNotGeometric}
	}
	if !o.WithoutEffort && (d.Quadrature.Effort == nil || d.Records.Effort == nil) {
		return &CalibrationRefusal{Reason: ErrNoEffort}
	}
	if err := o.check(); err != nil {
		return err
	}
	if err := d.checkShape(o); err != nil {
		return err
	}
	records, blocks := 0, map[int32]bool{}
	for i, w := range d.Records.Weight {
		if w > 0 {
			records++
			blocks[d.Records.Block[i]] = true
		}
	}
	if records < LeastCalibrationRecords {
		return &CalibrationRefusal{Reason: ErrFewRecords, Have: records, Need: LeastCalibrationRecords}
	}
	if len(blocks) < LeastCalibrationBlocks {
		return &CalibrationRefusal{Reason: ErrFewBlocks, Have: len(blocks), Need: LeastCalibrationBlocks}
	}
	return d.checkCovered(blocks)
}

func (o CalibrateOptions) check() error {
	for _, kappa := range o.Kappas {
		if !(kappa > 0) || !finite(kappa) {
			return fmt.Errorf("evidence: κ of %g; it must be above 0", kappa)
		}
	}
	for _, tau := range o.Taus {
		if !(tau >= 0) || !finite(tau) {
			return fmt.Errorf("evidence: τ of %g; it must not be negative", tau)
		}
	}
	if len(o.Kappas) == 0 || len(o.Taus) == 0 || o.Folds < 2 || o.Draws < 1 || !(o.E0 >= 0) || !(o.Caution >= 0) {
		return fmt.Errorf("evidence: calibration needs a κ, a τ, 2 folds, 1 draw, and e0 and caution not below 0")
	}
	return nil
}

func (d CalibrationData) checkShape(o CalibrateOptions) error {
	if len(d.Expert) != len(d.Requisites) || len(d.Requisites) == 0 {
		return fmt.Errorf("evidence: %d weights for %d requisites", len(d.Expert), len(d.Requisites))
	}
	sum := 0.0
	for g, w := range d.Expert {
		if !(w >= 0) || !finite(w) {
			return fmt.Errorf("evidence: weight of %s: %g must not be negative", d.Requisites[g], w)
		}
		sum += w
	}
	if sum == 0 {
		return fmt.Errorf("evidence: all experts' weights are 0")
	}
	if (d.Records.LogM == nil) != (d.Quadrature.LogM == nil) {
		return fmt.Errorf("evidence: multipliers are given for records or quadrature only; both need them")
	}
	if err := d.Records.check("record", d.Requisites, o); err != nil {
		return err
	}
	return d.Quadrature.check("quadrature cell", d.Requisites, o)
}

// checkCovered wants quadrature in every block with records: a held-out block
// without any has nothing to be compared with.
func (d CalibrationData) checkCovered(occupied map[int32]bool) error {
	left := make(map[int32]bool, len(occupied))
	for b := range occupied {
		left[b] = true
	}
	for i, b := range d.Quadrature.Block {
		if d.Quadrature.Weight[i] > 0 {
			delete(left, b)
		}
	}
	for i, b := range d.Records.Block {
		if left[b] {
			return fmt.Errorf("evidence: record %d lies in block %d, which has no quadrature cell\nhint: records outside the assessed area cannot be used", i, b)
		}
	}
	return nil
}

func (p CalibrationPlaces) check(what string, requisites []string, o CalibrateOptions) error {
	n := len(p.Weight)
	sizes := len(p.R) == len(requisites) && len(p.Block) == n && (p.LogM == nil || len(p.LogM) == n) &&
		(o.WithoutEffort || len(p.Effort) == n)
	for _, column := range p.R {
		sizes = sizes && len(column) == n
	}
	if !sizes {
		return fmt.Errorf("evidence: every %s needs a weight, a block, an effort and a value of each of %d requisites", what, len(requisites))
	}
	for i := range n {
		if !(p.Weight[i] >= 0) || !finite(p.Weight[i]) || p.LogM != nil && !finite(p.LogM[i]) || !o.WithoutEffort && (!(p.Effort[i] >= 0) || !finite(p.Effort[i])) {
			return fmt.Errorf("evidence: %s %d: weight and effort must be finite and not negative, multipliers above 0", what, i)
		}
		for g, column := range p.R {
			if !(column[i] > 0 && column[i] <= 1) {
				return fmt.Errorf("evidence: %s %d: requisite %s is %g; the logarithm needs (0, 1]\nhint: give the profile a floor above 0", what, i, requisites[g], column[i])
			}
		}
	}
	return nil
}
