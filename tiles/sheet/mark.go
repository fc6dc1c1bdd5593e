package sheet

import (
	"github.com/paulmach/orb"

	"tussock/layers"
)

// Symbol is what a mark is drawn as.
type Symbol uint8

// The symbols.
const (
	Water Symbol = iota + 1
	Road
	Path
	Railway
	Boundary
)

var symbolNames = [...]string{"", "water", "road", "path", "railway", "boundary"}

// SymbolNamed is the symbol of a name; 0 for none.
func SymbolNamed(name string) Symbol {
	for i, known := range symbolNames {
		if i > 0 && name == known {
			return Symbol(i)
		}
	}
	return 0
}

var symbolWords = [...]string{"", "open water", "road", "path or track", "railway", "boundary"}

// Mark is one kind of thing that is drawn over a map.
type Mark struct {
	Symbol Symbol
	Rank   int    // of roads: 0 the widest
	Words  string // what the legend calls it; "" for the usual words
	// Holds tells of the cells of a window, row by row, which belong to the
	// mark; nil where it has shapes instead.
	Holds  func(w layers.Window, into []bool) error
	Shapes []orb.Geometry // in the grid's CRS
}

func (m Mark) words() string {
	if m.Words != "" || int(m.Symbol) >= len(symbolWords) {
		return m.Words
	}
	return symbolWords[m.Symbol]
}

// stroke is how a line is drawn, in points: a dark core in a light casing.
type stroke struct {
	core, casing float64
	dash         []float64
	ties         bool    // light dashes along the core
	inner        float64 // width of open water within the core: a river is light between dark banks, a road dark between light rims, on a photocopy too
}

var strokes = map[Symbol]stroke{
	Water:    {core: 1.3, casing: 1.9, inner: 0.55},
	Path:     {core: 0.5, casing: 1.1, dash: []float64{2.2, 1.4}},
	Railway:  {core: 1.3, casing: 2.1, ties: true},
	Boundary: {core: 0.8, casing: 1.7, dash: []float64{5, 2, 1, 2}},
}

// roadStrokes are those of roads, from the widest.
var roadStrokes = []stroke{
	{core: 1.7, casing: 2.9}, {core: 1.1, casing: 2.1}, {core: 0.6, casing: 1.4}, {core: 0.4, casing: 1.0},
}

func (m Mark) stroke() stroke {
	if m.Symbol == Road {
		return roadStrokes[min(max(m.Rank, 0), len(roadStrokes)-1)]
	}
	return strokes[m.Symbol]
}
