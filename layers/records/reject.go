package records

// Reason is why a row is no record: a fixed code that programs may match.
type Reason string

// The reasons.
const (
	MissingName       Reason = "missing-name"       // no scientificName
	MissingCoordinate Reason = "missing-coordinate" // no place, or half of one
	ZeroCoordinate    Reason = "zero-coordinate"    // 0, 0: a blank in disguise
	OutOfBounds       Reason = "out-of-bounds"      // nowhere on Earth, or nowhere in the grid's CRS
	NotFinite         Reason = "not-finite"         // NaN or infinite
	BadNumber         Reason = "bad-number"         // a coordinate that is no number
	BadGeometry       Reason = "bad-geometry"       // a footprint or geometry without a place
	UnknownDatum      Reason = "unknown-datum"      // geodeticDatum names nothing known
	UnknownCRS        Reason = "unknown-crs"        // x and y without a known CRS
	NoTransform       Reason = "no-transform"       // a CRS that cannot be brought to the grid's
	BadDate           Reason = "bad-date"           // no ISO 8601 date
	FutureDate        Reason = "future-date"        // after the reference date
	BadStatus         Reason = "bad-status"         // neither present nor absent
	TooFewColumns     Reason = "too-few-columns"    //
	TooManyColumns    Reason = "too-many-columns"   //
	EmptyRow          Reason = "empty-row"          // delimiters and nothing else
	BadQuote          Reason = "bad-quote"          // text behind a closing quote
	UnclosedQuote     Reason = "unclosed-quote"     // a quote that nothing closes
	RowTooLong        Reason = "row-too-long"       // beyond 10 MB
	NoCoreRow         Reason = "no-core-row"        // an extension's row whose core row is missing
)

// Reject is a row that is kept aside.
type Reject struct {
	Source  Origin
	Reason  Reason
	Words   string   // one sentence with what was found and what would mend it
	Columns []string // names of the row's cells; shared between rejects
	Row     []string // the cells as they were
	Text    string   // the row itself where it could not be split into cells (its first kilobyte where it is too long)
}

// cellsOf is a row put together again.
func cellsOf(raw map[string]string, names []string) []string {
	cells := make([]string, len(names))
	for i, name := range names {
		cells[i] = raw[name]
	}
	return cells
}
