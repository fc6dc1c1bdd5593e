package gdal

// #include "gdal.h"
// #include "shim.h"
import "C"

import (
	"fmt"
	"unsafe"
)

// Type is the type of cells.
type Type int

// The types that are read and written.
const (
	Byte    Type = C.GDT_Byte
	UInt16  Type = C.GDT_UInt16
	Int32   Type = C.GDT_Int32
	Float32 Type = C.GDT_Float32
	Float64 Type = C.GDT_Float64
)

// Cells are the cells that Read and Write take; GDAL converts from and to the
// file's own type.
type Cells interface {
	uint8 | uint16 | int32 | float32 | float64
}

func typeOf[T Cells]() Type {
	var cell T
	switch any(cell).(type) {
	case uint8:
		return Byte
	case uint16:
		return UInt16
	case int32:
		return Int32
	case float32:
		return Float32
	}
	return Float64
}

// Window is cells of a raster.
type Window struct{ Col, Row, Cols, Rows int }

func (w Window) c() C.tk_window {
	return C.tk_window{x: C.int(w.Col), y: C.int(w.Row), w: C.int(w.Cols), h: C.int(w.Rows)}
}

// check holds a window and a buffer against one another, before C trusts them.
func (d *Dataset) check(w Window, have int) error {
	switch {
	case d.handle == nil:
		return ErrClosed
	case w.Col < 0 || w.Row < 0 || w.Cols <= 0 || w.Rows <= 0 || w.Rows > have/w.Cols:
		return fmt.Errorf("gdal: %d cells of room for the window %+v of %s", have, w, d.path)
	}
	return nil
}

// Read reads a window of a band, counted from 1, row by row into dst.
func Read[T Cells](d *Dataset, band int, w Window, dst []T) error {
	if err := d.check(w, len(dst)); err != nil {
		return err
	}
	r := C.tk_read(d.handle, C.int(band), w.c(), C.int(typeOf[T]()), unsafe.Pointer(&dst[0]))
	return d.settleRead(&r, "read", band, w)
}

// ReadMask reads which cells are known: 0 is unknown.
func (d *Dataset) ReadMask(band int, w Window, dst []uint8) error {
	if err := d.check(w, len(dst)); err != nil {
		return err
	}
	r := C.tk_read_mask(d.handle, C.int(band), w.c(), (*C.uint8_t)(&dst[0]))
	return d.settleRead(&r, "read the mask of", band, w)
}

func (d *Dataset) settleRead(r *C.tk_reply, op string, band int, w Window) error {
	place := Error{Op: op, Path: d.path, Band: band}
	out, _, err := settle(r, strict, place)
	if failed, ok := err.(*Error); ok && len(out) > 0 {
		failed.Block = &[2]int{out.int(), out.int()}
		failed.Cells = &[4]int{out.int(), out.int(), out.int(), out.int()}
	}
	return err
}

// Write writes a window of the band of a dataset from Create.
func Write[T Cells](d *Dataset, w Window, src []T) error {
	if err := d.check(w, len(src)); err != nil {
		return err
	}
	r := C.tk_write(d.handle, w.c(), C.int(typeOf[T]()), unsafe.Pointer(&src[0]))
	_, _, err := settle(&r, strict, Error{Op: "write", Path: d.path, Band: 1})
	return err
}
