package evidence

import (
	"context"
	"errors"
	"slices"

	"tussock/layers/records"
	"tussock/suitability"
)

// AssessOptions say how a map is assessed. Zeros are the defaults.
type AssessOptions struct {
	Seed     uint64                     // deals blocks to folds, and draws blocks again
	Folds    int                        // at most; 0: [DefaultFolds]
	Side     float64                    // of a block, metres; 0: as [BlockSide] has it
	Draws    int                        // of blocks, for intervals; 0: [DefaultResamples]
	Window   int                        // side of the windows by which the area is gone through, cells; it changes the memory alone; 0: 512
	Progress func(suitability.Progress) // its stage is the species' id; nil for nobody
}

const defaultWindow = 512

func (o AssessOptions) filled() AssessOptions {
	if o.Folds <= 0 {
		o.Folds = DefaultFolds
	}
	if o.Draws <= 0 {
		o.Draws = DefaultResamples
	}
	if o.Window <= 0 {
		o.Window = defaultWindow
	}
	return o
}

// Assessment is how well one species' map agrees with what was found. Its two
// parts answer different questions, and their figures are never put side by side.
type Assessment struct {
	Subject    suitability.Subject
	Seed       uint64
	Background PresenceBackground // records against the ground
	Visited    PresenceAbsence    // visits with finds against visits with blanks
}

// Finds are what a species' map is held against.
type Finds struct {
	Records []records.Cleaned // of the species, all of them
	Visits  []records.Visit   // of all species
	// Name and Groups are by which visits know the species; see
	// [records.Visit.Result].
	Name   string
	Groups func(species string) []string
}

// Assess holds a species' habitat, before the range rule, against records and
// visits. What the profile makes of records is made again for every place that
// judges it, without the records of the place's own block, and for every fold
// without those of the fold: no record speaks for itself.
//
// The job's audience must be one that may see the species cell by cell.
func Assess(ctx context.Context, j *suitability.Job, s suitability.Subject, e Finds, o AssessOptions) (*Assessment, error) {
	places, unused := recordPlaces(e.Records)
	a := newAssessing(j, s, places, o)
	a.result.Rows, a.result.Unused = len(e.Records), unused
	if err := a.background(ctx); err != nil {
		return nil, err
	}
	visited, err := a.visited(ctx, e)
	if err != nil {
		return nil, err
	}
	return &Assessment{Subject: a.subject, Seed: o.Seed, Background: a.result, Visited: visited}, nil
}

// PresenceBackground is a map against records and the ground that they could
// have been on.
type PresenceBackground struct {
	Rows   int            // records of the species
	Unused map[Unused]int // those of them that judge nothing
	AtEdge int            // of those outside the range: within its edge

	Side      BlockSide
	Variogram Variogram
	Blocks    int // in all
	Occupied  int // with records

	InRange  AgainstGround  // documented and uncertain range
	WithEdge *AgainstGround // and the range's edge; nil where there is none
	Folds    []FoldFigures  // none where fewer than two blocks hold records
	Measures []MeasureUse   // selection by each measure of the profile
	Claim    Claim
	// Rebuilt tells that the profile makes something of records, which was made
	// again without those that judge it.
	Rebuilt bool
}

// Judged tells whether there was enough to judge by.
func (p *PresenceBackground) Judged() bool { return p.InRange.Index.Err == nil }

// assessing is an assessment in the making.
type assessing struct {
	looker
	subject suitability.Subject
	options AssessOptions
	places  []Place

	survey  survey
	blocks  Blocks
	folds   Folds
	samples []Sample // of the places, each without its own block
	held    []Sample // the same, each without its own fold
	result  PresenceBackground
}

func newAssessing(j *suitability.Job, s suitability.Subject, places []Place, o AssessOptions) *assessing {
	o = o.filled()
	a := &assessing{looker: looker{job: j, edge: true, window: o.Window}, subject: s.For(j.Audience), options: o, places: places}
	a.result.Rows, a.result.Unused = len(places), map[Unused]int{}
	return a
}

func (a *assessing) background(ctx context.Context) error {
	a.result.Rebuilt = usesRecords(a.subject.Profile)
	a.follow()
	if err := a.takeSurvey(ctx); err != nil {
		return err
	}
	if err := a.judgePlaces(ctx); err != nil {
		return err
	}
	if err := a.spans(ctx); err != nil {
		return err
	}
	counts, err := a.count(ctx)
	if err != nil {
		return err
	}
	return a.conclude(counts)
}

// blockParts and foldParts part the ground for [subjectWithout].
func (a *assessing) blockParts() parts { return parts{"blocks", a.blocks.Of} }
func (a *assessing) foldParts() parts  { return parts{"folds", a.folds.Of} }

// follow reports each window that is gone through, of all that will be: the
// ground is gone through twice, and once more where the profile uses records.
func (a *assessing) follow() {
	if a.options.Progress == nil {
		return
	}
	done, total := 0, 2*len(a.windows())
	if a.result.Rebuilt {
		total += len(a.windows())
	}
	a.walked = func() {
		done++
		a.options.Progress(suitability.Progress{Stage: a.subject.Profile.ID, Done: done, Total: total})
	}
}

// judgePlaces finds what the map says of each place, deals the blocks with
// records to folds, and counts the places that judge nothing.
func (a *assessing) judgePlaces(ctx context.Context) error {
	var err error
	if a.samples, err = a.lookWithout(ctx, a.places, a.blockParts(), a.survey.measures.place); err != nil {
		return err
	}
	perBlock := make([]int, a.blocks.Count())
	for i, s := range a.samples {
		switch {
		case s.Unused != "":
			a.result.Unused[s.Unused]++
		case !inside(s.InRange):
			a.result.Unused[NotInRange]++
			a.result.AtEdge++
		default:
			perBlock[a.blocks.At(a.places[i].At)]++
		}
	}
	for _, n := range perBlock {
		if n > 0 {
			a.result.Occupied++
		}
	}
	a.folds = a.blocks.Deal(a.options.Folds, perBlock, a.options.Seed)
	a.held = a.samples
	if a.result.Rebuilt {
		a.held, err = a.lookWithout(ctx, a.places, a.foldParts(), nil)
	}
	return err
}

// lookWithout looks at places by the subject without the records of each place's
// own part.
func (a *assessing) lookWithout(ctx context.Context, places []Place, p parts, each placeVisitor) ([]Sample, error) {
	if !a.result.Rebuilt {
		return a.look(ctx, places, onePart, func(int) suitability.Subject { return a.subject }, each)
	}
	return a.look(ctx, places, p, func(part int) suitability.Subject { return subjectWithout(a.subject, a.job.Grid, p, part) }, each)
}

// ownOuts are the subjects by which the ground is judged as the places are: the
// first for the figures over all, the last for the folds.
func (a *assessing) ownOuts() []suitability.Subject {
	if !a.result.Rebuilt {
		return []suitability.Subject{a.subject}
	}
	return []suitability.Subject{subjectOwnOut(a.subject, a.blockParts()), subjectOwnOut(a.subject, a.foldParts())}
}

// values are the habitat of the samples that a test keeps, in their order.
func (a *assessing) values(samples []Sample, keep func(i int, s Sample) bool) []float64 {
	var list []float64
	for i, s := range samples {
		if s.Unused == "" && keep(i, s) {
			list = append(list, s.Habitat)
		}
	}
	return list
}

// isFigure tells errors that are an answer from those that are none.
func isFigure(err error) bool {
	return err == nil || errors.Is(err, ErrTooFew) || errors.Is(err, ErrUndefined)
}

// UnusedInOrder are the reasons that hold for some record, in the order in which
// they are asked.
func (p *PresenceBackground) UnusedInOrder() []Unused {
	all := []Unused{NotPresent, NotFine, SameCellYear, OutsideArea, NotInRange, PlaceUnknown, PlaceExcluded}
	return slices.DeleteFunc(all, func(u Unused) bool { return p.Unused[u] == 0 })
}
