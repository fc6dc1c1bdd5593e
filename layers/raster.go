package layers

import "errors"

// RasterInfo is what a raster's file says about one band.
type RasterInfo struct {
	CRS           CRS        // the zero CRS where the file names none
	Affine        [6]float64 // see Lattice
	Cols, Rows    int
	Bands         int
	Type          string // of the stored numbers: "Byte", "Int16", "Float32", …
	Nodata        *float64
	Scale, Offset float64 // value = stored · Scale + Offset
	Classes       []Class // by value, from the attribute table, else from category names and colours
	Unit          string
	Description   string
	Overviews     int
	BlockCols     int // the unit in which the file is read best
	BlockRows     int
	Warnings      []string // what GDAL found odd when it opened the file
}

// Raster is one band of a raster source. It serves one goroutine.
type Raster struct{}

// OpenRaster opens a band, counted from 1, of any source that GDAL reads.
func OpenRaster(path string, band int) (*Raster, error) { return nil, errors.New("not written yet") }

// Info is what the file says.
func (r *Raster) Info() RasterInfo { return RasterInfo{} }

// Lattice is the raster's cells.
func (r *Raster) Lattice() Lattice { return Lattice{} }

// SetNodata makes another stored number mean "not known" instead of the file's.
func (r *Raster) SetNodata(stored float64) {}

// ReadFloat32 reads a window, row by row, as values: scale and offset applied,
// NaN where not known (nodata, mask or alpha 0). The window must lie inside the
// raster and dst hold cols·rows.
func (r *Raster) ReadFloat32(col, row, cols, rows int, dst []float32) error {
	return errors.New("not written yet")
}

// ReadInt32 reads a window of class codes as they are stored; ok tells which are
// known. A number that is not whole, or beyond 32 bits, is an error.
func (r *Raster) ReadInt32(col, row, cols, rows int, dst []int32, ok []bool) error {
	return errors.New("not written yet")
}

// ReadUint8 reads a window of bytes as they are stored, nodata and all; the band
// must be of bytes.
func (r *Raster) ReadUint8(col, row, cols, rows int, dst []uint8) error {
	return errors.New("not written yet")
}

// Close lets go of the file; a second Close is an error.
func (r *Raster) Close() error { return nil }
