package layers

// Reader gives blocks of layers on one grid. The engine hands measures a reader
// that keeps what it has read; a measure that asks for more than its reach
// reads correctly but slowly.
type Reader interface {
	Grid() Grid
	// Layer is the layer of that name, or an error that names the known ones.
	Layer(name string) (*Layer, error)
	// Read is a layer lined up on the grid, for exactly that window. Cells where
	// the source has nothing are unknown. A features layer is burned as its own
	// settings say.
	Read(layer string, w Window) (Block, error)
	// Burn is a features layer burned in the given way, whatever its own
	// settings: numbers, never unknown.
	Burn(layer string, how Burn, w Window) (Block, error)
}

// Measure is one number, or one class, per cell.
//
// Eval must give the same bytes for a cell whichever window it is asked for,
// and may read no cell farther than Reach from a cell of the window.
type Measure interface {
	// Key is a canonical text: two measures with the same key give the same
	// block, and any change that could change a cell changes the key.
	Key() string
	// Reach is how far, in metres, a cell's value depends on its surroundings.
	Reach() float64
	// LayerNames are the layers that the measure reads.
	LayerNames() []string
	// Unit is the unit of the values as shown to people, "" for none.
	Unit() string
	// Check tells whether the measure can be taken on these layers: they exist,
	// they are of the right kind, and they know the classes that are named.
	Check(r Reader) error
	Eval(r Reader, w Window) (Block, error)
}
