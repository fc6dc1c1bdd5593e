package land

import (
	"fmt"
	"io"
	"math"
	"path/filepath"
	"strings"

	"tussock/layers"
)

// source names what made a raster.
const source = "invented for demonstration; no real ground is meant"

func (d *District) writeRasters(folder string) error {
	bytes := func(name, what string, cells []uint8, classes []layers.Class) error {
		spec := layers.CogSpec{Grid: d.Grid, Description: what, Classes: classes, Overviews: layers.Majority, Metadata: map[string]string{"SOURCE": source}}
		codec := layers.NewTileCodec(layers.CogBytes, 0)
		r := raster[uint8]{spec: spec, cells: cells, encode: codec.EncodeBytes,
			halve: func(dst, src []uint8, cols, rows int) { layers.ReduceMode(dst, src, cols, rows, 0) }}
		return r.write(filepath.Join(folder, name))
	}
	floats := func(name, what, unit string, cells []float32) error {
		spec := layers.CogSpec{Grid: d.Grid, Cells: layers.CogFloats, Description: what, Unit: unit, Overviews: layers.Average, Metadata: map[string]string{"SOURCE": source}}
		codec := layers.NewTileCodec(layers.CogFloats, 0)
		r := raster[float32]{spec: spec, cells: cells, outside: float32(math.NaN()), stats: statisticsOf(cells), encode: codec.EncodeFloats, halve: layers.ReduceAverageFloats}
		return r.write(filepath.Join(folder, name))
	}
	for _, write := range []func() error{
		func() error { return bytes("cover.tif", "land cover", codesOf(d.Cover), coverLegend()) },
		func() error { return bytes("soil.tif", "soil", codesOf(d.Soil), soilLegend()) },
		func() error { return floats("elevation.tif", "elevation above the sea", "m", d.Elevation) },
		func() error {
			return floats("heat_load.tif", "heat load index (McCune and Keon 2002)", "1", d.HeatLoad)
		},
		func() error { return floats("canopy.tif", "share of the ground under trees", "1", d.Canopy) },
	} {
		if err := write(); err != nil {
			return fmt.Errorf("land: %w", err)
		}
	}
	return nil
}

func codesOf[T ~uint8](cells []T) []uint8 {
	out := make([]uint8, len(cells))
	for i, c := range cells {
		out[i] = uint8(c)
	}
	return out
}

// raster is one raster on its way into a file.
type raster[T uint8 | float32] struct {
	spec    layers.CogSpec
	cells   []T
	outside T // what pads tiles at the edge
	stats   *layers.Statistics
	encode  func(dst []byte, cells []T) []byte
	halve   func(dst, src []T, cols, rows int)
}

// write publishes the raster with the names of its classes and its style beside
// it.
func (r raster[T]) write(path string) error {
	writer, err := layers.NewCog(r.spec)
	if err != nil {
		return err
	}
	defer writer.Close()
	full := r.tiles(r.cells, Cols, Rows)
	halfCols, halfRows := (Cols+1)/2, (Rows+1)/2
	half := make([]T, halfCols*halfRows)
	r.halve(half, r.cells, Cols, Rows)
	for at, tile := range full.all() {
		if err := writer.SetTile(at[0], at[1], len(tile)); err != nil {
			return err
		}
	}
	for at, tile := range r.tiles(half, halfCols, halfRows).all() {
		if err := writer.SetReduced(at[0], at[1], tile); err != nil {
			return err
		}
	}
	if r.stats != nil {
		writer.SetStatistics(*r.stats)
	}
	err = layers.Publish(path, func(w io.Writer) error {
		return writer.Write(w, func(col, row int) ([]byte, error) { return full.data[row*full.across+col], nil })
	})
	if err != nil {
		return err
	}
	return r.beside(path)
}

func (r raster[T]) beside(path string) error {
	err := layers.Publish(layers.AuxName(path), func(w io.Writer) error { return layers.WriteAux(w, r.spec, r.stats) })
	if err != nil || len(r.spec.Classes) == 0 {
		return err
	}
	name := strings.TrimSuffix(path, ".tif")
	style := layers.ClassStyle(filepath.Base(name), r.spec.Description, r.spec.Classes)
	return layers.Publish(name+".sld", func(w io.Writer) error { return layers.WriteSLD(w, style) })
}
