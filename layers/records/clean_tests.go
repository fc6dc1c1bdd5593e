package records

// Test is one test that every record goes through: a fixed code that programs
// may match.
type Test string

// The tests, in their order. A row that cannot be read, has no place, lies at
// 0, 0 or nowhere on Earth is no record: [Read] rejects it. Later tests build on
// earlier ones: a place's uncertainty is known before anything is measured with
// it.
const (
	Impossible       Test = "impossible"  // outside the area and its margin, or in the future
	NoUncertainty    Test = "uncertainty" // how well the place is known is not known
	Axes             Test = "axes"        // axes swapped, or a sign lost
	Centre           Test = "centre"      // a place that stands for a town, a square, an office
	InWater          Test = "water"       // a land animal well inside open water
	Duplicate        Test = "duplicate"   // the same sighting again
	Age              Test = "age"         // too old to say what is there now
	DefaultDate      Test = "date"        // a day that stands for a year
	GeneralisedPlace Test = "generalised" // blurred before it was handed over
	Thinned          Test = "thinning"    // another record of its cell and year is the one to take
	Range            Test = "range"       // outside the documented range
	Season           Test = "season"      // in a week in which the species is not met
	Elevation        Test = "elevation"   // higher than the species lives
	Scale            Test = "scale"       // known less well than the species feels its surroundings
)

// Tests are all of them, in their order.
func Tests() []Test {
	list := make([]Test, len(tests))
	for i, t := range tests {
		list[i] = t.name
	}
	return list
}

// Words are what a flag of the test means.
func (t Test) Words() string {
	for _, known := range tests {
		if known.name == t {
			return known.words
		}
	}
	return ""
}

// look looks at one record, by its number.
type look func(k int, r *Cleaned) (Outcome, error)

// test is a test in the making: it sees all records before it looks at each.
type test struct {
	name    Test
	words   string // what a flag of it means
	prepare func(*cleaner) look
	chooses bool // it chooses among records, and runs last
}

// tests is filled at the start, since the tests' own code counts them.
var tests []test

func init() {
	tests = []test{
		{name: Impossible, words: "outside the area, or in the future", prepare: (*cleaner).impossible},
		{name: NoUncertainty, words: "uncertainty not stated, or too small", prepare: (*cleaner).uncertainties},
		{name: Axes, words: "coordinates swapped, or a sign lost", prepare: (*cleaner).axes},
		{name: Centre, words: "stands for a town, a square, an office or a site", prepare: (*cleaner).centres},
		{name: InWater, words: "a land animal in open water", prepare: (*cleaner).water},
		{name: Duplicate, words: "the same sighting again", prepare: (*cleaner).duplicates},
		{name: Age, words: "too old, or without a date", prepare: (*cleaner).age},
		{name: DefaultDate, words: "1 January for an unknown day", prepare: (*cleaner).defaultDates},
		{name: GeneralisedPlace, words: "place blurred at its source", prepare: (*cleaner).generalised},
		{name: Thinned, words: "not the one to take of its cell and year", prepare: (*cleaner).thinned, chooses: true},
		{name: Range, words: "outside the documented range", prepare: (*cleaner).ranges},
		{name: Season, words: "out of season", prepare: (*cleaner).seasons},
		{name: Elevation, words: "higher than the species lives", prepare: (*cleaner).elevations},
		{name: Scale, words: "place known too roughly for the species", prepare: (*cleaner).scales},
	}
}
