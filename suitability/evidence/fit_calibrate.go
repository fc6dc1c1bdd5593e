package evidence

import (
	"context"
	"math"
	"runtime"
	"slices"
)

// CalibrationPlaces are places with what the model says of them: cleaned records,
// or the cells of a regular quadrature.
type CalibrationPlaces struct {
	R      [][]float64 // [requisite][place], in (0, 1]: the profile's floor keeps it above 0
	LogM   []float64   // Σ_k log m_k, the multipliers; nil for none
	Effort []float64   // ≥ 0, in any unit; nil: not known
	Weight []float64   // a record's weight, or a cell's area
	Block  []int32     // spatial block of each place
}

// CalibrationData are cleaned records against a quadrature of the assessed, not
// excluded cells inside the range, and the experts' weights W_g.
type CalibrationData struct {
	Geometric  bool // the profile's rule: only a geometric one is log-linear
	Requisites []string
	Expert     []float64 // W_g; scaled to sum 1
	Records    CalibrationPlaces
	Quadrature CalibrationPlaces
}

// CalibrateOptions: the zero value is the default.
type CalibrateOptions struct {
	// Kappas and Taus are tried by cross-validation. τ = 0 keeps the experts'
	// weights as they are. Nil: κ of 1, 2, 3, 4.5, 7; τ of 0, .3, .7, 1.5.
	Kappas, Taus []float64
	Folds        int     // 0: 5
	Draws        int     // of the bootstrap; 0: 200
	Seed         uint64  // of the bootstrap
	Workers      int     // 0: one a core; the result is the same
	E0           float64 // added to effort before its logarithm; 0: a twentieth of the mean over the area
	// WithoutEffort fits without an effort term. Only where recording is known to
	// have been even: with uneven effort the fit is worse than the experts.
	WithoutEffort bool
	NonNegative   bool // hold b_g ≥ 0
	// Caution is how many standard errors a better score must be ahead before a
	// wider prior is taken, 0 for the rule of one standard error (Breiman L,
	// Friedman JH, Olshen RA, Stone CJ (1984) Classification and Regression Trees,
	// section 3.4.3). In doubt the experts stand.
	Caution  float64
	Eager    bool                  // no caution: the best score is taken
	Progress func(done, total int) // called from one goroutine at a time; may be nil
}

func (o CalibrateOptions) withDefaults() CalibrateOptions {
	if o.Kappas == nil {
		o.Kappas = []float64{1, 2, 3, 4.5, 7}
	}
	if o.Taus == nil {
		o.Taus = []float64{0, .3, .7, 1.5}
	}
	if o.Caution == 0 {
		o.Caution = 1
	}
	if o.Eager {
		o.Caution = 0
	}
	if o.Folds == 0 {
		o.Folds = 5
	}
	if o.Draws == 0 {
		o.Draws = 200
	}
	if o.Workers <= 0 {
		o.Workers = runtime.GOMAXPROCS(0)
	}
	return o
}

// Calibrate lets records move the experts' weights:
//
//	log λ = a + Σ_g b_g log R_g + Σ_k log m_k + γ log(e + e0),  b_g ~ N(κ W_g, τ²)
//
// with a and γ free, κ and τ chosen by spatially blocked cross-validation of the
// conditional intensity, and intervals of 80 % by block bootstrap. Without a
// prior this is the presence and background model of Warton and Shepherd (2010);
// that a weighted geometric mean is log-linear makes the experts' weights a prior
// for it. It refuses with a [*CalibrationRefusal].
func Calibrate(ctx context.Context, data CalibrationData, o CalibrateOptions) (*Calibration, error) {
	o = o.withDefaults()
	c, err := newCalibrator(data, o)
	if err != nil {
		return nil, err
	}
	scores, err := c.crossValidate(ctx)
	if err != nil {
		return nil, err
	}
	out, err := c.result(ctx, scores)
	if err != nil {
		return nil, err
	}
	return out, c.bootstrap(ctx, out)
}

// calibrator holds the records and the quadrature as one design: records first,
// then requisites' logarithms, intercept and effort as columns.
type calibrator struct {
	o            CalibrateOptions
	names        []string
	expert       []float64
	design       *design
	points, area []float64
	block        []int32 // of each row, counted from 0 in the order of their numbers
	blocks       int
	folds        []CrossFold
	fold         []int // of each row
	e0, median   float64
	done, total  int
}

func newCalibrator(data CalibrationData, o CalibrateOptions) (*calibrator, error) {
	if err := data.check(o); err != nil {
		return nil, err
	}
	c := &calibrator{o: o, names: data.Requisites, expert: shares(data.Expert)}
	c.points = joined(data.Records.Weight, make([]float64, len(data.Quadrature.Weight)))
	c.area = joined(make([]float64, len(data.Records.Weight)), data.Quadrature.Weight)
	numbers := append(slices.Clone(data.Records.Block), data.Quadrature.Block...)
	c.folds, c.fold = crossFolds(numbers, c.points, o.Folds)
	c.block, c.blocks = ranked(numbers)
	c.total = len(c.folds)*(len(o.Kappas)+1) + o.Draws
	var err error
	c.design, err = c.model(data).design()
	return c, err
}

// model has the columns log R_g, then 1, then log(e + e0).
func (c *calibrator) model(data CalibrationData) LogLinear {
	m := LogLinear{Points: c.points, Area: c.area}
	for g, name := range c.names {
		column := joined(data.Records.R[g], data.Quadrature.R[g])
		for i, r := range column {
			column[i] = math.Log(r)
		}
		m.Terms = append(m.Terms, FitTerm{Name: name, Values: column, NonNegative: c.o.NonNegative})
	}
	m.Terms = append(m.Terms, FitTerm{Name: "intercept", Values: filledWith(len(c.points), 1)})
	if !c.o.WithoutEffort {
		m.Terms = append(m.Terms, FitTerm{Name: "effort", Values: c.effort(data)})
	}
	if data.Quadrature.LogM != nil {
		m.Offset = joined(data.Records.LogM, data.Quadrature.LogM)
	}
	return m
}

// effort is log(e + e0), and remembers e0 and the median effort of the area.
func (c *calibrator) effort(data CalibrationData) []float64 {
	q := data.Quadrature
	c.median = weightedMedian(q.Effort, q.Weight)
	c.e0 = c.o.E0
	if c.e0 == 0 {
		c.e0 = weightedMean(q.Effort, q.Weight) / 20
	}
	column := joined(data.Records.Effort, q.Effort)
	for i, e := range column {
		column[i] = math.Log(e + c.e0)
	}
	return column
}

// priors returns the design under one κ and τ.
func (c *calibrator) priors(mean []float64, tau float64) *design {
	d := *c.design
	d.prior = make([]NormalPrior, d.p)
	for g, m := range mean {
		d.prior[g] = NormalPrior{Mean: m, Precision: 1 / (tau * tau)}
	}
	return &d
}

// mean is κ W_g.
func (c *calibrator) mean(kappa float64) []float64 {
	out := make([]float64, len(c.expert))
	for g, w := range c.expert {
		out[g] = kappa * w
	}
	return out
}

func (c *calibrator) note() {
	c.done++
	if c.o.Progress != nil {
		c.o.Progress(c.done, c.total)
	}
}
