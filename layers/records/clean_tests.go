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

// look looks at one record, by its number.
type look func(k int, r *Cleaned) (Outcome, error)

// test is a test in the making: it sees all records before it looks at each.
type test struct {
	name    Test
	prepare func(*cleaner) look
	chooses bool // it chooses among records, and runs last
}

// tests is filled at the start, since the tests' own code counts them.
var tests []test

func init() {
	tests = []test{
		{name: Impossible, prepare: (*cleaner).impossible},
		{name: NoUncertainty, prepare: (*cleaner).uncertainties},
		{name: Axes, prepare: (*cleaner).axes},
		{name: Centre, prepare: (*cleaner).centres},
		{name: InWater, prepare: (*cleaner).water},
		{name: Duplicate, prepare: (*cleaner).duplicates},
		{name: Age, prepare: (*cleaner).age},
		{name: DefaultDate, prepare: (*cleaner).defaultDates},
		{name: GeneralisedPlace, prepare: (*cleaner).generalised},
		{name: Thinned, prepare: (*cleaner).thinned, chooses: true},
		{name: Range, prepare: (*cleaner).ranges},
		{name: Season, prepare: (*cleaner).seasons},
		{name: Elevation, prepare: (*cleaner).elevations},
		{name: Scale, prepare: (*cleaner).scales},
	}
}
