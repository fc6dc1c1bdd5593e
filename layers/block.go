package layers

import (
	"fmt"
	"math"
)

// NoClass is the code of a cell whose class is not known.
const NoClass uint8 = 255

// MaxClasses is how many classes one layer may have: codes 0 to 254.
const MaxClasses = 255

// Block is a window of cells: either class codes (indices into the layer's
// Classes, NoClass where unknown) or numbers (NaN where unknown), never both.
// Rows are addressed by the grid's own row numbers, so that a block and a part
// of it read alike.
type Block struct {
	Window Window
	Codes  []uint8   // classes; nil for numbers
	Values []float32 // numbers; nil for classes
	stride int       // distance between rows; 0 means Window.Cols
}

// NewCodes makes a block of classes, every cell unknown.
func NewCodes(w Window) Block {
	codes := make([]uint8, w.Cells())
	for i := range codes {
		codes[i] = NoClass
	}
	return Block{Window: w, Codes: codes}
}

// NewValues makes a block of numbers, every cell unknown.
func NewValues(w Window) Block {
	values := make([]float32, w.Cells())
	nan := float32(math.NaN())
	for i := range values {
		values[i] = nan
	}
	return Block{Window: w, Values: values}
}

// IsCodes tells whether the block holds classes.
func (b Block) IsCodes() bool { return b.Codes != nil }

func (b Block) offset(row int) int {
	stride := b.stride
	if stride == 0 {
		stride = b.Window.Cols
	}
	return (row - b.Window.Row) * stride
}

// CodeRow is one row of classes, by the grid's row number.
func (b Block) CodeRow(row int) []uint8 {
	at := b.offset(row)
	return b.Codes[at : at+b.Window.Cols : at+b.Window.Cols]
}

// ValueRow is one row of numbers, by the grid's row number.
func (b Block) ValueRow(row int) []float32 {
	at := b.offset(row)
	return b.Values[at : at+b.Window.Cols : at+b.Window.Cols]
}

// Code is the class of one cell, by the grid's column and row.
func (b Block) Code(col, row int) uint8 { return b.Codes[b.offset(row)+col-b.Window.Col] }

// Value is the number of one cell, by the grid's column and row.
func (b Block) Value(col, row int) float32 { return b.Values[b.offset(row)+col-b.Window.Col] }

// Part is a view of a smaller window; it shares the cells. It panics if the
// block does not hold the window, which is a programmer's error.
func (b Block) Part(w Window) Block {
	if !b.Window.Contains(w) {
		panic(fmt.Sprintf("layers: block %+v does not hold window %+v", b.Window, w))
	}
	if w == b.Window {
		return b
	}
	stride := b.stride
	if stride == 0 {
		stride = b.Window.Cols
	}
	part := Block{Window: w, stride: stride}
	if w.Empty() {
		return part
	}
	at := b.offset(w.Row) + w.Col - b.Window.Col
	if b.Codes != nil {
		part.Codes = b.Codes[at:]
	} else {
		part.Values = b.Values[at:]
	}
	return part
}

// Packed is the block with its rows lying one behind the other; it is the block
// itself where they already do.
func (b Block) Packed() Block {
	if b.stride == 0 || b.stride == b.Window.Cols {
		b.stride = 0
		if b.Codes != nil {
			b.Codes = b.Codes[:b.Window.Cells()]
		} else {
			b.Values = b.Values[:b.Window.Cells()]
		}
		return b
	}
	packed := Block{Window: b.Window}
	for row := b.Window.Row; row < b.Window.Bottom(); row++ {
		if b.Codes != nil {
			packed.Codes = append(packed.Codes, b.CodeRow(row)...)
		} else {
			packed.Values = append(packed.Values, b.ValueRow(row)...)
		}
	}
	return packed
}
