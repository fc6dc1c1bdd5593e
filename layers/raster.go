package layers

import (
	"fmt"
	"image/color"
	"math"

	"tussock/layers/internal/gdal"
)

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
type Raster struct {
	source *gdal.Dataset
	path   string
	band   int
	cells  gdal.Band
	info   RasterInfo
	nodata *float64 // what SetNodata asked for
	mask   []uint8  // scratch
}

// OpenRaster opens a band, counted from 1, of any source that GDAL reads.
func OpenRaster(path string, band int) (*Raster, error) {
	source, err := gdal.Open(path, gdal.Raster)
	if err != nil {
		return nil, err
	}
	r := &Raster{source: source, path: path, band: band}
	if err := r.inspect(); err != nil {
		source.Close()
		return nil, err
	}
	return r, nil
}

func (r *Raster) inspect() error {
	whole, err := r.source.Info()
	if err != nil {
		return err
	}
	if r.band < 1 || r.band > whole.Bands {
		return fmt.Errorf("layers: %s has no band %d; it has %d", r.path, r.band, whole.Bands)
	}
	if r.cells, err = r.source.Band(r.band); err != nil {
		return err
	}
	b := r.cells
	r.info = RasterInfo{
		Affine: whole.Affine, Cols: whole.Cols, Rows: whole.Rows, Bands: whole.Bands, Type: b.Type.String(),
		Scale: b.Scale, Offset: b.Offset, Classes: classesOf(b), Unit: b.Unit, Description: b.Description,
		Overviews: b.Overviews, BlockCols: b.BlockCols, BlockRows: b.BlockRows,
	}
	if b.HasNodata {
		r.info.Nodata = &b.Nodata
	}
	if !whole.HasAffine {
		return fmt.Errorf("layers: %s says not where it lies: it has no geotransform", r.path)
	}
	if whole.WKT != "" {
		r.info.CRS, err = ParseCRS(whole.WKT)
	}
	return err
}

// classesOf are a band's named classes: from its attribute table, else from its
// category names, with the colours of either the attribute table or the palette.
func classesOf(b gdal.Band) []Class {
	var classes []Class
	for _, row := range b.Table {
		c := Class{Value: row.Value, Name: row.Name}
		if rgb := row.Colour; rgb[0] >= 0 && rgb[1] >= 0 && rgb[2] >= 0 {
			c.Colour = color.NRGBA{uint8(rgb[0]), uint8(rgb[1]), uint8(rgb[2]), 255}
		}
		classes = append(classes, c)
	}
	if classes == nil {
		for value, name := range b.Categories {
			classes = append(classes, Class{Value: value, Name: name})
		}
	}
	named := classes[:0]
	for _, c := range classes {
		if c.Name == "" {
			continue
		}
		if c.Colour.A == 0 && c.Value >= 0 && c.Value < len(b.Colours) {
			rgba := b.Colours[c.Value]
			c.Colour = color.NRGBA{rgba[0], rgba[1], rgba[2], rgba[3]}
		}
		named = append(named, c)
	}
	return named
}

// Info is what the file says.
func (r *Raster) Info() RasterInfo { return r.info }

// Lattice is the raster's cells.
func (r *Raster) Lattice() Lattice { return Lattice{CRS: r.info.CRS, Affine: r.info.Affine} }

// SetNodata makes another stored number mean "not known" instead of the file's.
func (r *Raster) SetNodata(stored float64) {
	r.nodata = &stored
	r.info.Nodata = &stored
}

// ReadFloat32 reads a window, row by row, as values: scale and offset applied,
// NaN where not known (nodata, mask or alpha 0). The window must lie inside the
// raster and dst hold cols·rows.
func (r *Raster) ReadFloat32(col, row, cols, rows int, dst []float32) error {
	n := cols * rows
	if err := gdal.Read(r.source, r.band, col, row, cols, rows, dst); err != nil {
		return err
	}
	known, err := r.known(col, row, cols, rows)
	if err != nil {
		return err
	}
	nan := float32(math.NaN())
	nodata, hasNodata := r.storedNodata()
	plain := r.cells.Scale == 1 && r.cells.Offset == 0
	for i, v := range dst[:n] {
		switch {
		case hasNodata && v == nodata, known != nil && known[i] == 0, math.IsInf(float64(v), 0):
			dst[i] = nan
		case !plain:
			dst[i] = float32(float64(v)*r.cells.Scale + r.cells.Offset)
		}
	}
	return nil
}

// storedNodata is the number that means unknown, where a comparison is enough.
func (r *Raster) storedNodata() (float32, bool) {
	if r.info.Nodata == nil {
		return 0, false
	}
	return float32(*r.info.Nodata), true
}

// known reads the band's mask where the file hides cells by more than a nodata
// number: by a mask band, by alpha, or by the nodata that SetNodata replaced.
func (r *Raster) known(col, row, cols, rows int) ([]uint8, error) {
	if !r.cells.Masked || r.cells.HasNodata || r.nodata != nil {
		return nil, nil
	}
	if cap(r.mask) < cols*rows {
		r.mask = make([]uint8, cols*rows)
	}
	mask := r.mask[:cols*rows]
	return mask, r.source.ReadMask(r.band, col, row, cols, rows, mask)
}

// ReadInt32 reads a window of class codes as they are stored; ok tells which are
// known. A number that is not whole, or beyond 32 bits, is an error.
func (r *Raster) ReadInt32(col, row, cols, rows int, dst []int32, ok []bool) error {
	known, err := r.known(col, row, cols, rows)
	if err != nil {
		return err
	}
	if !r.cells.Type.Whole() {
		return r.readWhole(col, row, cols, rows, dst, ok, known)
	}
	if err := gdal.Read(r.source, r.band, col, row, cols, rows, dst); err != nil {
		return err
	}
	for i, v := range dst[:cols*rows] {
		ok[i] = (r.info.Nodata == nil || float64(v) != *r.info.Nodata) && (known == nil || known[i] != 0)
	}
	return nil
}

// readWhole reads class codes that are stored as floats or as wide integers.
func (r *Raster) readWhole(col, row, cols, rows int, dst []int32, ok []bool, known []uint8) error {
	numbers := make([]float64, cols*rows)
	if err := gdal.Read(r.source, r.band, col, row, cols, rows, numbers); err != nil {
		return err
	}
	for i, v := range numbers {
		ok[i] = v == v && (r.info.Nodata == nil || v != *r.info.Nodata) && (known == nil || known[i] != 0)
		if !ok[i] {
			continue
		}
		if v != math.Trunc(v) || math.Abs(v) > math.MaxInt32 {
			return fmt.Errorf("layers: %s, band %d, column %d, row %d: %g is no class code", r.path, r.band, col+i%cols, row+i/cols, v)
		}
		dst[i] = int32(v)
	}
	return nil
}

// ReadUint8 reads a window of bytes as they are stored, nodata and all; the band
// must be of bytes.
func (r *Raster) ReadUint8(col, row, cols, rows int, dst []uint8) error {
	if r.cells.Type != gdal.Byte {
		return fmt.Errorf("layers: %s, band %d holds %s, not bytes", r.path, r.band, r.info.Type)
	}
	return gdal.Read(r.source, r.band, col, row, cols, rows, dst)
}

// Close lets go of the file; a second Close is an error.
func (r *Raster) Close() error { return r.source.Close() }
