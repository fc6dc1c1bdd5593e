package evidence

import (
	"fmt"
	"math"
)

// The least numbers of test records (own choices: assumptions). Binned and
// moving-window indices degrade with few presences; below FewRecords the
// smoothed one is used.
const (
	LeastRecords = 15 // below: too few to judge
	FewRecords   = 50 // below: smoothed
)

// Domain is the range that windows move over. The zero Domain, Observed, is the
// range of all values that are compared; Scale is that of suitability.
type Domain struct{ Low, High float64 }

// The domains in use.
var (
	Observed = Domain{}
	Scale    = Domain{Low: 0, High: 1}
)

// BoyceOptions say how a continuous Boyce index is taken. Zeros are the defaults.
type BoyceOptions struct {
	Window   float64 // width of a window as a share of the domain, 0 to 1; 0: 0.1
	Starts   int     // equally spaced windows, the first at the lower end, the last at the upper; 0: 101
	Domain   Domain  // the zero Domain is the observed range
	Collapse bool    // drop a window whose ratio repeats the one before
}

// BoyceMethod is how the curve was drawn.
type BoyceMethod string

// The methods.
const (
	MovingWindow BoyceMethod = "moving window"
	Smoothed     BoyceMethod = "Gaussian kernel ratio"
	BinnedBoyce  BoyceMethod = "bins"
)

// BoycePoint is a window of the curve of predicted over expected.
type BoycePoint struct {
	Mid       float64 // suitability at the middle of the window; the bin's number for bins
	Presences int64   // in the window; 0 for the smoothed curve
	Cells     int64   // in the window; 0 for the smoothed curve
	Ratio     float64 // share of presences by share of cells
}

// BoyceResult is an index with its curve.
type BoyceResult struct {
	Index     float64 // −1 to 1; only where no error came with it
	Curve     []BoycePoint
	Used      int // windows that entered the correlation
	Empty     int // windows without a cell, skipped
	Presences int64
	Method    BoyceMethod
	Bandwidth float64 // standard deviation of the kernel, in suitability; 0 for windows
	Domain    Domain
	Window    float64 // share of the domain
	Collapsed bool
}

// Boyce is the continuous index: Spearman's rank correlation between the middle
// of each moving window and F = P/E, the share of presences in the window by the
// share of cells in it (Boyce et al. 2002, Ecological Modelling 157:281-300;
// Hirzel et al. 2006, Ecological Modelling 199:142-152). Windows are closed: what
// lies on an edge is in, to 1e-7 of the domain. Windows without a cell are
// skipped. Equal ratios are compared as fractions of whole numbers, so that ties
// are ties. 1 says that the map ranks well, not that it is calibrated.
//
// Under [LeastRecords] presences it is [ErrTooFew]; where F is constant, or fewer
// than three windows are left, [ErrUndefined], with the curve all the same.
func Boyce(presence, background []float64, o BoyceOptions) (BoyceResult, error) {
	t, err := tallyOf(presence, background)
	if err != nil {
		return BoyceResult{}, err
	}
	return t.boyce(o)
}

// JudgeBoyce takes the index that fits the number of records: windows, or below
// [FewRecords] the smoothed one.
func JudgeBoyce(presence, background []float64, o BoyceOptions) (BoyceResult, error) {
	if len(presence) < FewRecords {
		return BoyceSmooth(presence, background, o)
	}
	return Boyce(presence, background, o)
}

func (o BoyceOptions) filled() BoyceOptions {
	if o.Window == 0 {
		o.Window = 0.1
	}
	if o.Starts == 0 {
		o.Starts = 101
	}
	return o
}

// Check tells whether the options make sense.
func (o BoyceOptions) Check() error {
	o = o.filled()
	switch {
	case !(o.Window > 0 && o.Window < 1):
		return fmt.Errorf("evidence: a window of %g of the domain is not between 0 and 1", o.Window)
	case o.Starts < 3 || o.Starts > 100_000:
		return fmt.Errorf("evidence: %d windows are not from 3 to 100000", o.Starts)
	case o.Domain != Observed && !(o.Domain.Low < o.Domain.High) || math.IsInf(o.Domain.High-o.Domain.Low, 0):
		return fmt.Errorf("evidence: a domain from %g to %g", o.Domain.Low, o.Domain.High)
	}
	return nil
}

// readyForBoyce fills the options in and finds the domain, or says why there is
// nothing to judge.
func (t *tally) readyForBoyce(o BoyceOptions) (BoyceOptions, error) {
	if err := o.Check(); err != nil {
		return o, err
	}
	o = o.filled()
	if m, _ := t.totals(); m < LeastRecords {
		return o, fmt.Errorf("%w: %d records are fewer than %d", ErrTooFew, m, LeastRecords)
	}
	if err := t.both(); err != nil {
		return o, err
	}
	if o.Domain == Observed {
		o.Domain.Low, o.Domain.High = t.observed()
	}
	if !(o.Domain.Low < o.Domain.High) {
		return o, undefined("every value is %g", o.Domain.Low)
	}
	return o, nil
}
