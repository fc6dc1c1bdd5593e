package layers

import (
	"errors"
	"fmt"

	"tussock/layers/internal/gdal"
)

// RasterInfo is what a raster's file says about one band.
type RasterInfo struct {
	CRS           CRS        // the zero CRS where the file names none
	Affine        [6]float64 // see Lattice
	Cols, Rows    int
	Bands         int
	Type          string   // of the stored numbers: "Byte", "Int16", "Float32", …
	Nodata        *float64 // the stored number that means "not known"
	Scale, Offset float64  // value = stored · Scale + Offset
	Classes       []Class  // by value, from the attribute table, else from category names and colours
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
	masked bool // by a mask or alpha band
	info   RasterInfo
	mask   []uint8   // scratch
	wide   []float64 // scratch
}

// mostBlockBytes bounds what GDAL must allocate for one block of a file: a
// damaged header may claim any number.
const mostBlockBytes = 1 << 31

// OpenRaster opens a band, counted from 1, of any source that GDAL reads.
func OpenRaster(path string, band int) (*Raster, error) {
	source, notes, err := gdal.Open(path, gdal.Raster)
	if err != nil {
		return nil, err
	}
	r := &Raster{source: source, path: path, band: band}
	if err := r.describe(notes); err != nil {
		return nil, errors.Join(err, source.Close())
	}
	return r, nil
}

func (r *Raster) describe(notes []gdal.Message) error {
	i, more, err := r.source.Info(r.band)
	if err != nil {
		return err
	}
	b := i.Band
	switch {
	case r.band < 1 || r.band > i.Bands:
		return fmt.Errorf("layers: %s has no band %d; it has %d", r.path, r.band, i.Bands)
	case b.Size == 0 || b.Type[0] == 'C':
		return fmt.Errorf("layers: %s, band %d holds %s, which are no numbers that a map can show", r.path, r.band, b.Type)
	case b.BlockCols <= 0 || b.BlockRows <= 0 || b.BlockRows > mostBlockBytes/b.Size/b.BlockCols:
		return fmt.Errorf("layers: %s is stored in blocks of %d by %d cells, which no memory holds", r.path, b.BlockCols, b.BlockRows)
	case !i.HasAffine:
		return fmt.Errorf("layers: %s does not say where its cells lie\nhint: it may have lost the file beside it (.tfw, .aux.xml); georeference it", r.path)
	}
	r.masked = b.Masked
	r.info = RasterInfo{
		Affine: i.Affine, Cols: i.Cols, Rows: i.Rows, Bands: i.Bands, Type: b.Type, Scale: b.Scale, Offset: b.Offset,
		Classes: classesOf(b), Unit: b.Unit, Description: b.Description, Overviews: b.Overviews,
		BlockCols: b.BlockCols, BlockRows: b.BlockRows, Warnings: warningsOf(warningsOf(nil, notes), more),
	}
	if b.HasNodata {
		r.info.Nodata = &b.Nodata
	}
	if i.SRS.WKT != "" {
		r.info.CRS = crsOf(i.SRS)
	}
	return nil
}

// Info is what the file says.
func (r *Raster) Info() RasterInfo { return r.info }

// Lattice is the raster's cells.
func (r *Raster) Lattice() Lattice { return Lattice{CRS: r.info.CRS, Affine: r.info.Affine} }

// SetNodata makes another stored number mean "not known" instead of the file's.
// What a mask or alpha band hides stays hidden.
func (r *Raster) SetNodata(stored float64) { r.info.Nodata = &stored }

// Close lets go of the file; a second Close is an error.
func (r *Raster) Close() error { return r.source.Close() }
