package records

import (
	"cmp"
	"fmt"
	"slices"
)

// Use is what a record may be used for once every test has spoken.
type Use uint8

// The uses, from the freest to the most careful.
const (
	Fine    Use = iota + 1 // may shape a map
	Coarse                 // presence in the area, and range, only
	History                // range history only: too old for anything else
	Held                   // nothing, until a person has looked
)

var useNames = [...]string{"", "fine", "coarse", "history", "held"}

func (u Use) String() string {
	if int(u) < len(useNames) {
		return useNames[u]
	}
	return ""
}

// Outcome is what one test says of one record.
type Outcome struct {
	Test    Test
	Flagged bool   // something was found
	Use     Use    // the most that the test leaves the record good for
	Words   string // what was found, or taken note of; "" where there is nothing to say
}

func passed(words string) Outcome           { return Outcome{Use: Fine, Words: words} }
func flagged(use Use, words string) Outcome { return Outcome{Flagged: true, Use: use, Words: words} }

// Cleaned is a record with what every test says of it. Two things may differ
// from the record that was read, and its outcomes say so: an uncertainty that
// its own decimals contradict, and a date that stands for a whole year. A place
// is never moved.
type Cleaned struct {
	Record
	Name  string    // the species as the project names it; as the source does where the project has no such species
	Tests []Outcome // of every test, in the order of [Tests]
	Use   Use       // the most careful of all outcomes'
}

// Flags are the outcomes that flagged the record.
func (r Cleaned) Flags() []Outcome {
	var found []Outcome
	for _, o := range r.Tests {
		if o.Flagged {
			found = append(found, o)
		}
	}
	return found
}

// Reasons are the outcomes because of which the record is used as it is and no
// better; none for one that is fine.
func (r Cleaned) Reasons() []Outcome {
	return slices.DeleteFunc(r.Flags(), func(o Outcome) bool { return o.Use != r.Use || r.Use == Fine })
}

// Outcome is what a test says of the record.
func (r Cleaned) Outcome(t Test) Outcome {
	if at := slices.IndexFunc(r.Tests, func(o Outcome) bool { return o.Test == t }); at >= 0 {
		return r.Tests[at]
	}
	return Outcome{Test: t}
}

// Cleaning is what became of all rows of all sources. Nothing is deleted: every
// row is a record with its outcomes, in the order of the sources, or a reject
// with its reason.
type Cleaning struct {
	Records []Cleaned
	Rejects []Reject
	Counts  []RuleCount // reasons by name, then tests in their order, those that found nothing too

	current, recent int // years
}

// Of is the part of a cleaning that is about some species, by their names in
// [Cleaned]. Rows that are no records are of no species.
func (c *Cleaning) Of(names ...string) *Cleaning {
	part := &Cleaning{current: c.current, recent: c.recent}
	for _, r := range c.Records {
		if slices.Contains(names, r.Name) {
			part.Records = append(part.Records, r)
		}
	}
	part.Counts = countTests(part.Records)
	return part
}

// cleaner is records on their way through the tests.
type cleaner struct {
	Checks
	records []Cleaned
	known   []*Expectation // of each record; nil where the project has no such species
	ways    transforms     // to the area's CRS
}

// Clean puts the records of all sources through every test. The same sets and
// checks give the same outcomes. An error is one of the checks' own functions
// or of a coordinate reference system.
func Clean(sets []Set, checks Checks) (*Cleaning, error) {
	checks.complete()
	c := &cleaner{Checks: checks, ways: transforms{to: checks.Area.CRS}}
	defer c.ways.close()
	done := &Cleaning{current: checks.Current, recent: checks.Recent}
	for _, s := range sets {
		for _, r := range s.Records {
			c.add(r)
		}
		done.Rejects = append(done.Rejects, s.Rejects...)
	}
	if err := c.runAll(); err != nil {
		return nil, err
	}
	done.Records = c.records
	done.Counts = append(countReasons(done.Rejects), countTests(done.Records)...)
	return done, nil
}

func (c *cleaner) add(r Record) {
	cleaned := Cleaned{Record: r, Name: r.Species, Tests: make([]Outcome, len(tests)), Use: Fine}
	var known *Expectation
	if c.Species != nil {
		if known = c.Species(r.Species); known != nil {
			cleaned.Name = known.Name
		}
	}
	c.records = append(c.records, cleaned)
	c.known = append(c.known, known)
}

// runAll runs one test after the other over all records. The tests that choose
// among records run last, so that none is chosen that another test holds; their
// outcomes stand where the order of the tests has them.
func (c *cleaner) runAll() error {
	for _, choosing := range []bool{false, true} {
		for i, t := range tests {
			if t.chooses != choosing {
				continue
			}
			if err := c.run(i, t); err != nil {
				return err
			}
		}
	}
	return nil
}

func (c *cleaner) run(i int, t test) error {
	look := t.prepare(c)
	for k := range c.records {
		r := &c.records[k]
		o, err := look(k, r)
		if err != nil {
			return fmt.Errorf("records: %s: test %s: %w", r.Source, t.name, err)
		}
		o.Test = t.name
		r.Tests[i] = o
		r.Use = max(r.Use, o.Use)
	}
	return nil
}

// called names a record in words: by its identifier, or by where it stands.
func (r *Record) called() string { return cmp.Or(r.ID, r.Source.String()) }
