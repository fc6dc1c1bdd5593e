package layers

import (
	"fmt"
	"image/color"
	"strconv"
)

// Kind is what a layer's cells mean.
type Kind uint8

// The kinds of layer.
const (
	Classes  Kind = iota + 1 // each cell one of a few named classes
	Quantity                 // each cell a number
	Features                 // points, lines or polygons
)

var kindNames = [...]string{"", "classes", "quantity", "features"}

func (k Kind) String() string {
	if int(k) < len(kindNames) {
		return kindNames[k]
	}
	return ""
}

// ParseKind reads a kind's name.
func ParseKind(name string) (Kind, error) {
	for i, known := range kindNames {
		if i > 0 && name == known {
			return Kind(i), nil
		}
	}
	return 0, fmt.Errorf("layers: %q is no kind of layer", name)
}

// Resample is how a raster source is brought to the grid's cells.
type Resample uint8

// The ways to resample.
const (
	Nearest  Resample = iota + 1 // the source cell that holds the cell's centre
	Majority                     // the class with the largest share of the cell's known area; ties go to the lower code
	Bilinear                     // between the four source centres around the cell's centre
	Average                      // mean over the cell's area, unknown source cells left out
)

var resampleNames = [...]string{"", "nearest", "majority", "bilinear", "average"}

func (r Resample) String() string {
	if int(r) < len(resampleNames) {
		return resampleNames[r]
	}
	return ""
}

// ParseResample reads a way's name.
func ParseResample(name string) (Resample, error) {
	for i, known := range resampleNames {
		if i > 0 && name == known {
			return Resample(i), nil
		}
	}
	return 0, fmt.Errorf("layers: %q is no way to resample", name)
}

// Class is one class of a layer of classes.
type Class struct {
	Value  int         // the number in the source
	Name   string      // as the source or the project names it
	Colour color.NRGBA // alpha 0 where none is known
}

// BurnKind is how features become cells.
type BurnKind uint8

// The ways to burn.
const (
	BurnCentre BurnKind = iota + 1 // 1 where a polygon holds the cell's centre, or the cell holds the point or the line's touch
	BurnTouch                      // 1 where any part of the feature touches the cell
	BurnShare                      // the share of the cell's area that is covered, 0 to 1
	BurnCount                      // how many features have their point (or centroid) in the cell
	BurnLength                     // metres of line in the cell
)

var burnNames = [...]string{"", "centre", "touch", "share", "count", "length"}

func (k BurnKind) String() string {
	if int(k) < len(burnNames) {
		return burnNames[k]
	}
	return ""
}

// Burn is one way to turn a features layer into cells.
type Burn struct {
	Kind BurnKind
	// Width in metres given to lines (and, as a diameter, to points) under
	// BurnShare; 0 lets a line have no area.
	Width float64
	// Where keeps only the features whose attribute Field has one of these
	// values, compared as text; empty keeps all.
	Field string
	Where []string
}

// ParseBurn reads the name of a way that a project may give a layer: centre,
// touch or share.
func ParseBurn(name string) (BurnKind, error) {
	for _, k := range []BurnKind{BurnCentre, BurnTouch, BurnShare} {
		if name == k.String() {
			return k, nil
		}
	}
	return 0, fmt.Errorf("layers: %q is no way to burn features; use centre, touch or share", name)
}

// Layer is one source, lined up on a grid. OpenLayer makes one that can be
// read; one made by hand describes a layer and holds nothing.
type Layer struct {
	Name    string
	Kind    Kind
	Classes []Class // by code, for a layer of classes
	Unit    string  // of the values, "" for none
	// Burn is how a features layer is read when nobody says otherwise.
	Burn Burn
	// TrafficField is the attribute that holds a road's vehicles per day.
	TrafficField string
	// Fields are the attributes of a features layer with every value that
	// occurs, sorted as text; a missing value is "".
	Fields map[string][]string

	source layerSource
}

// layerSource is what lies behind a layer.
type layerSource interface {
	// read fills a block of the layer's kind whose cells are all unknown.
	read(w Window, b Block) error
	// burn adds features to numbers that are all 0.
	burn(how Burn, w Window, b Block) error
	Close() error
}

// featureSource is a layerSource whose features can be looked at one by one.
type featureSource interface {
	// near shows the features whose bounds come within pad cells of a window, in
	// the order of their ids, each with those of the named attributes that have a
	// value. The map is lent for one call.
	near(w Window, pad float64, fields []string, see func(s *shape, attributes map[string]string))
}

// near shows the features near a window.
func (l *Layer) near(w Window, pad float64, fields []string, see func(*shape, map[string]string)) error {
	source, ok := l.source.(featureSource)
	if !ok {
		return fmt.Errorf("layers: layer %q holds no features; hint: it must be opened, and read from a vector source", l.Name)
	}
	source.near(w, pad, fields, see)
	return nil
}

// ClassIndex is the code of the class of that name or, where no class has that
// name, of that number in the source.
func (l *Layer) ClassIndex(class string) (uint8, bool) {
	for code, c := range l.Classes {
		if c.Name == class {
			return uint8(code), true
		}
	}
	value, err := strconv.Atoi(class)
	if err != nil {
		return 0, false
	}
	for code, c := range l.Classes {
		if c.Value == value {
			return uint8(code), true
		}
	}
	return 0, false
}

// Close lets go of the layer's source.
func (l *Layer) Close() error {
	if l.source == nil {
		return nil
	}
	return l.source.Close()
}
