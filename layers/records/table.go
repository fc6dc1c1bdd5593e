package records

import (
	"iter"

	"github.com/paulmach/orb"
	"tussock/layers"
)

// table is a source as rows, whatever its format.
type table struct {
	names []string // of the columns, each once
	rows  iter.Seq2[row, error]
	notes []string
	// crs is the rows' geometry's; only vector sources have one.
	crs        layers.CRS
	geometries bool // rows have geometries
	close      func() error
}

// row is one row of a source. One that could not be read has a reason.
type row struct {
	cells    []string // as many as the table has names
	geometry orb.Geometry
	source   Origin
	reason   Reason
	words    string
	text     string // of a row that could not be split
}

func (r row) rejected(names []string) Reject {
	return Reject{Source: r.source, Reason: r.reason, Words: r.words, Columns: names, Row: r.cells, Text: r.text}
}
