package gdal

// #include "shim.h"
import "C"

import "image/color"

// Info is what a raster source says of itself and of one band.
type Info struct {
	Driver            string
	Cols, Rows, Bands int
	Affine            [6]float64
	HasAffine         bool
	SRS               SRS // its WKT is "" where there is none
	Band              Band
}

// Band is what a band says of its cells.
type Band struct {
	Type              string // "Byte", "Float32", …
	Size              int    // bytes a cell
	Nodata            float64
	HasNodata         bool
	Scale, Offset     float64
	BlockCols         int
	BlockRows         int
	Overviews         int
	Masked            bool // a mask or alpha band hides cells
	Unit, Description string
	Categories        []string      // by value, from 0
	Colours           []color.NRGBA // by value, from 0
	Table             Table
}

// Table is a raster attribute table.
type Table struct {
	Binned      bool // row i is for values from First + i·Step
	First, Step float64
	Rows        int
	Columns     []Column
}

// Column is a column of a raster attribute table: Texts or Numbers.
type Column struct {
	Name    string
	Usage   int // GDALRATFieldUsage
	Texts   []string
	Numbers []float64
}

// Mask flags of gdal.h: no mask, and a mask made from the nodata number.
const (
	maskNone   = 1
	maskNodata = 8
)

// Info gathers the source's properties and a band's; the Band is zero where there
// is no such band. The messages are warnings.
func (d *Dataset) Info(band int) (Info, []Message, error) {
	if d.handle == nil {
		return Info{}, nil, ErrClosed
	}
	r := C.tk_raster_info(d.handle, C.int(band))
	out, notes, err := settle(&r, tolerant, Error{Op: "read the properties of", Path: d.path, Band: band})
	if err != nil {
		return Info{}, notes, err
	}
	i := Info{Driver: out.text(), Cols: out.int(), Rows: out.int(), Bands: out.int(), HasAffine: out.yes()}
	for k := range i.Affine {
		i.Affine[k] = out.float()
	}
	i.SRS = readSRS(&out)
	if len(out) > 0 {
		i.Band = readBand(&out)
	}
	return i, notes, nil
}

func readBand(out *packet) Band {
	b := Band{Type: out.text(), Size: out.int(), HasNodata: out.yes(), Nodata: out.float(), Scale: out.float(), Offset: out.float(),
		BlockCols: out.int(), BlockRows: out.int(), Overviews: out.int()}
	b.Masked = out.int()&(maskNone|maskNodata) == 0
	b.Unit, b.Description = out.text(), out.text()
	for range out.int() {
		b.Categories = append(b.Categories, out.text())
	}
	for range out.int() {
		b.Colours = append(b.Colours, color.NRGBA{uint8(out.int()), uint8(out.int()), uint8(out.int()), uint8(out.int())})
	}
	b.Table = readTable(out)
	return b
}

func readTable(out *packet) Table {
	t := Table{Binned: out.yes(), First: out.float(), Step: out.float()}
	columns := out.int()
	t.Rows = out.int()
	for range columns {
		c := Column{Name: out.text(), Usage: out.int()}
		text := out.yes()
		for range t.Rows {
			if text {
				c.Texts = append(c.Texts, out.text())
			} else {
				c.Numbers = append(c.Numbers, out.float())
			}
		}
		t.Columns = append(t.Columns, c)
	}
	return t
}
