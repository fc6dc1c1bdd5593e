package gdal

// #include "shim.h"
import "C"

import (
	"fmt"
	"unsafe"
)

// Flags say what a dataset is opened for.
type Flags uint

// The flags.
const (
	Raster Flags = C.GDAL_OF_RASTER
	Vector Flags = C.GDAL_OF_VECTOR
)

// Type is the type of a band's cells.
type Type int

// The types that are read and written.
const (
	Byte    Type = C.GDT_Byte
	Int32   Type = C.GDT_Int32
	Float32 Type = C.GDT_Float32
	Float64 Type = C.GDT_Float64
)

// Whole tells whether a type holds whole numbers only.
func (t Type) Whole() bool { return t >= C.GDT_Byte && t <= C.GDT_Int32 }

// Dataset is an open raster or vector source.
type Dataset struct {
	handle C.GDALDatasetH
	path   string
}

// Open opens a source for reading, with the driver's open options as KEY=VALUE.
func Open(path string, flags Flags, options ...string) (*Dataset, error) {
	initialise()
	name := cstring(path)
	defer free(name)
	list, done := clist(options)
	defer done()
	var s C.shim_status
	h := C.shim_open(name, C.uint(flags|C.GDAL_OF_READONLY|C.GDAL_OF_VERBOSE_ERROR), list, &s)
	if h == nil {
		return nil, failure(&s, "open", path, "")
	}
	return &Dataset{handle: h, path: path}, nil
}

// Create makes a GeoTIFF of one band.
func Create(path string, cols, rows int, t Type, affine [6]float64, wkt string, options ...string) (*Dataset, error) {
	initialise()
	name, crs := cstring(path), cstring(wkt)
	defer free(name)
	defer free(crs)
	list, done := clist(options)
	defer done()
	var s C.shim_status
	h := C.shim_create(name, C.int(cols), C.int(rows), C.int(t), (*C.double)(&affine[0]), crs, list, &s)
	if h == nil {
		return nil, failure(&s, "create", path, "")
	}
	return &Dataset{handle: h, path: path}, nil
}

// Close writes what is pending and lets go of the source. A second Close returns
// ErrClosed.
func (d *Dataset) Close() error {
	if d.handle == nil {
		return ErrClosed
	}
	var s C.shim_status
	ok := C.shim_close(d.handle, &s)
	d.handle = nil
	if ok == 0 {
		return failure(&s, "close", d.path, "")
	}
	return nil
}

// Info is what a source says of itself.
type Info struct {
	Cols, Rows, Bands int
	Affine            [6]float64
	HasAffine         bool
	WKT               string // WKT2:2019, "" where there is none
	Driver            string
	Raster, Vector    bool
}

// Info gathers a source's properties.
func (d *Dataset) Info() (Info, error) {
	if d.handle == nil {
		return Info{}, ErrClosed
	}
	var raw C.shim_info
	var s C.shim_status
	ok := C.shim_get_info(d.handle, &raw, &s)
	info := Info{
		Cols: int(raw.cols), Rows: int(raw.rows), Bands: int(raw.bands), HasAffine: raw.has_affine != 0,
		WKT: take(raw.wkt), Driver: C.GoString(raw.driver), Raster: raw.raster != 0, Vector: raw.vector != 0,
	}
	for i, v := range raw.affine {
		info.Affine[i] = float64(v)
	}
	if ok == 0 {
		return info, failure(&s, "read the properties of", d.path, "")
	}
	return info, nil
}

// Band is what one band says of its cells.
type Band struct {
	Type              Type
	BlockCols         int
	BlockRows         int
	Overviews         int
	Nodata            float64
	HasNodata         bool
	Masked            bool // nodata, alpha or a mask band hides cells
	Scale, Offset     float64
	Unit, Description string
	Categories        []string   // by value, from 0
	Colours           [][4]uint8 // by value, from 0
	Table             []Row      // the attribute table's names
}

// Row is a row of a raster attribute table.
type Row struct {
	Value  int
	Name   string
	Colour [3]int // −1 where there is none
}

// Band gathers a band's properties; the first band is 1.
func (d *Dataset) Band(number int) (Band, error) {
	if d.handle == nil {
		return Band{}, ErrClosed
	}
	var raw C.shim_band
	var s C.shim_status
	if C.shim_get_band(d.handle, C.int(number), &raw, &s) == 0 {
		return Band{}, failure(&s, "read the properties of", d.path, fmt.Sprintf("band %d", number))
	}
	b := Band{
		Type: Type(raw._type), BlockCols: int(raw.block_x), BlockRows: int(raw.block_y), Overviews: int(raw.overviews),
		Nodata: float64(raw.nodata), HasNodata: raw.has_nodata != 0, Masked: raw.mask_flags&C.GMF_ALL_VALID == 0,
		Scale: float64(raw.scale), Offset: float64(raw.offset), Unit: take(raw.unit), Description: take(raw.description),
		Categories: takeList(raw.categories),
	}
	for i := range int(raw.colours) {
		c := raw.rgba[4*i:]
		b.Colours = append(b.Colours, [4]uint8{uint8(c[0]), uint8(c[1]), uint8(c[2]), uint8(c[3])})
	}
	b.Table = takeTable(&raw)
	return b, nil
}

func takeTable(raw *C.shim_band) []Row {
	n := int(raw.rat_rows)
	if n == 0 {
		return nil
	}
	values, rgb := unsafe.Slice(raw.rat_value, n), unsafe.Slice(raw.rat_rgb, 3*n)
	names := borrowList(raw.rat_name)
	rows := make([]Row, 0, n)
	for i, name := range names {
		rows = append(rows, Row{Value: int(values[i]), Name: name, Colour: [3]int{int(rgb[3*i]), int(rgb[3*i+1]), int(rgb[3*i+2])}})
	}
	C.shim_free(unsafe.Pointer(raw.rat_value))
	C.shim_free(unsafe.Pointer(raw.rat_rgb))
	C.shim_free_list(raw.rat_name)
	return rows
}

// Cells are the types of cells that Read and Write take.
type Cells interface {
	uint8 | int32 | float32 | float64
}

func typeOf[T Cells]() Type {
	var t T
	switch any(t).(type) {
	case uint8:
		return Byte
	case int32:
		return Int32
	case float32:
		return Float32
	}
	return Float64
}

// Read reads a window of a band into dst, rows one behind the other.
func Read[T Cells](d *Dataset, band, col, row, cols, rows int, dst []T) error {
	if err := d.mustFit(cols, rows, len(dst)); err != nil {
		return err
	}
	var s C.shim_status
	if C.shim_read(d.handle, C.int(band), C.int(col), C.int(row), C.int(cols), C.int(rows), unsafe.Pointer(&dst[0]), C.int(typeOf[T]()), &s) == 0 {
		return failure(&s, "read", d.path, place(band, col, row, cols, rows))
	}
	return nil
}

// ReadMask reads which cells are known: 0 for unknown.
func (d *Dataset) ReadMask(band, col, row, cols, rows int, dst []uint8) error {
	if err := d.mustFit(cols, rows, len(dst)); err != nil {
		return err
	}
	var s C.shim_status
	if C.shim_read_mask(d.handle, C.int(band), C.int(col), C.int(row), C.int(cols), C.int(rows), unsafe.Pointer(&dst[0]), &s) == 0 {
		return failure(&s, "read the mask of", d.path, place(band, col, row, cols, rows))
	}
	return nil
}

// Write writes a window of the only band of a created dataset.
func Write[T Cells](d *Dataset, col, row, cols, rows int, src []T) error {
	if err := d.mustFit(cols, rows, len(src)); err != nil {
		return err
	}
	var s C.shim_status
	if C.shim_write(d.handle, C.int(col), C.int(row), C.int(cols), C.int(rows), unsafe.Pointer(&src[0]), C.int(typeOf[T]()), &s) == 0 {
		return failure(&s, "write", d.path, place(1, col, row, cols, rows))
	}
	return nil
}

func (d *Dataset) mustFit(cols, rows, have int) error {
	if d.handle == nil {
		return ErrClosed
	}
	if cols <= 0 || rows <= 0 || have < cols*rows {
		return fmt.Errorf("gdal: a window of %d by %d cells with room for %d", cols, rows, have)
	}
	return nil
}

func place(band, col, row, cols, rows int) string {
	return fmt.Sprintf("band %d, columns %d to %d, rows %d to %d", band, col, col+cols-1, row, row+rows-1)
}

// Metadata are a dataset's items in a domain, as KEY=VALUE.
func (d *Dataset) Metadata(domain string) ([]string, error) {
	if d.handle == nil {
		return nil, ErrClosed
	}
	name := cstring(domain)
	defer free(name)
	var s C.shim_status
	list := C.shim_metadata(d.handle, name, &s)
	if s.failed != 0 {
		return nil, failure(&s, "read the metadata of", d.path, "")
	}
	return takeList(list), nil
}

// String is the type's name in GDAL, such as "Float32".
func (t Type) String() string { return C.GoString(C.GDALGetDataTypeName(C.GDALDataType(t))) }
