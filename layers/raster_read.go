package layers

import (
	"fmt"
	"math"

	"tussock/layers/internal/gdal"
)

// ReadFloat32 reads a window, row by row, as values: scale and offset applied,
// NaN where not known (nodata, mask or alpha 0, and infinities). The window must
// lie inside the raster and dst hold cols·rows.
func (r *Raster) ReadFloat32(col, row, cols, rows int, dst []float32) error {
	w := gdal.Window{Col: col, Row: row, Cols: cols, Rows: rows}
	if err := r.inside(w, len(dst)); err != nil {
		return err
	}
	if r.narrow() {
		if err := gdal.Read(r.source, r.band, w, dst); err != nil {
			return err
		}
		r.values32(dst[:cols*rows])
	} else if err := r.values64(w, dst); err != nil {
		return err
	}
	return r.hide(w, func(i int) { dst[i] = float32(math.NaN()) })
}

// inside holds a window against the raster and a buffer against the window.
func (r *Raster) inside(w gdal.Window, have int) error {
	switch {
	case w.Cols <= 0 || w.Rows <= 0 || w.Col < 0 || w.Row < 0 || w.Cols > r.info.Cols-w.Col || w.Rows > r.info.Rows-w.Row:
		return fmt.Errorf("layers: the window of %d by %d cells at column %d, row %d is not inside %s, which has %d by %d",
			w.Cols, w.Rows, w.Col, w.Row, r.path, r.info.Cols, r.info.Rows)
	case w.Rows > have/w.Cols:
		return fmt.Errorf("layers: there is room for %d of the %d by %d cells asked of %s", have, w.Cols, w.Rows, r.path)
	}
	return nil
}

// narrow tells whether float32 holds every stored number exactly.
func (r *Raster) narrow() bool {
	switch r.info.Type {
	case "Byte", "Int8", "UInt16", "Int16", "Float32":
		return true
	}
	return false
}

// values32 turns stored numbers into values. The nodata of a float band is
// compared as a float: files write it with all the digits of a double.
func (r *Raster) values32(dst []float32) {
	nan := float32(math.NaN())
	nodata := nan
	if r.info.Nodata != nil {
		nodata = float32(*r.info.Nodata)
	}
	plain := r.info.Scale == 1 && r.info.Offset == 0
	for i, v := range dst {
		switch {
		case v == nodata || v-v != 0: // infinities are no numbers either
			dst[i] = nan
		case !plain:
			dst[i] = r.value(float64(v))
		}
	}
}

func (r *Raster) value(stored float64) float32 {
	return float32(float64(stored*r.info.Scale) + r.info.Offset)
}

// values64 does the same for stored numbers that float32 would round.
func (r *Raster) values64(w gdal.Window, dst []float32) error {
	numbers, err := r.numbers(w)
	for i, v := range numbers {
		dst[i] = r.value(v)
		if r.info.Nodata != nil && v == *r.info.Nodata || math.IsInf(float64(dst[i]), 0) {
			dst[i] = float32(math.NaN())
		}
	}
	return err
}

// numbers reads stored numbers into the raster's scratch.
func (r *Raster) numbers(w gdal.Window) ([]float64, error) {
	if cap(r.wide) < w.Cols*w.Rows {
		r.wide = make([]float64, w.Cols*w.Rows)
	}
	numbers := r.wide[:w.Cols*w.Rows]
	return numbers, gdal.Read(r.source, r.band, w, numbers)
}

// hide calls unknown for the cells that a mask or alpha band hides.
func (r *Raster) hide(w gdal.Window, unknown func(i int)) error {
	if !r.masked {
		return nil
	}
	if cap(r.mask) < w.Cols*w.Rows {
		r.mask = make([]uint8, w.Cols*w.Rows)
	}
	mask := r.mask[:w.Cols*w.Rows]
	if err := r.source.ReadMask(r.band, w, mask); err != nil {
		return err
	}
	for i, m := range mask {
		if m == 0 {
			unknown(i)
		}
	}
	return nil
}

// ReadInt32 reads a window of class codes as they are stored; ok tells which are
// known. A number that is not whole, or beyond 32 bits, is an error.
func (r *Raster) ReadInt32(col, row, cols, rows int, dst []int32, ok []bool) error {
	w := gdal.Window{Col: col, Row: row, Cols: cols, Rows: rows}
	if err := r.inside(w, min(len(dst), len(ok))); err != nil {
		return err
	}
	numbers, err := r.numbers(w)
	if err != nil {
		return err
	}
	for i, v := range numbers {
		ok[i] = v == v && !r.isNodata(v)
	}
	if err := r.hide(w, func(i int) { ok[i] = false }); err != nil {
		return err
	}
	for i, v := range numbers {
		dst[i] = 0
		if !ok[i] {
			continue
		}
		if v != math.Trunc(v) || v < math.MinInt32 || v > math.MaxInt32 {
			return fmt.Errorf("layers: %s, band %d, column %d, row %d: %g is no class code, which is a whole number",
				r.path, r.band, col+i%cols, row+i/cols, v)
		}
		dst[i] = int32(v)
	}
	return nil
}

func (r *Raster) isNodata(stored float64) bool {
	if r.info.Nodata == nil {
		return false
	}
	if r.info.Type == "Float32" {
		return float32(stored) == float32(*r.info.Nodata)
	}
	return stored == *r.info.Nodata
}

// ReadUint8 reads a window of bytes as they are stored, nodata and all; the band
// must be of bytes.
func (r *Raster) ReadUint8(col, row, cols, rows int, dst []uint8) error {
	w := gdal.Window{Col: col, Row: row, Cols: cols, Rows: rows}
	if r.info.Type != "Byte" {
		return fmt.Errorf("layers: %s, band %d holds %s, not bytes", r.path, r.band, r.info.Type)
	}
	if err := r.inside(w, len(dst)); err != nil {
		return err
	}
	return gdal.Read(r.source, r.band, w, dst)
}
