package life

import (
	"encoding/csv"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"

	"tussock/cmd/averholt/land"
	"tussock/layers"
)

// forbidden stands in every file of the truth.
const forbidden = "known answer of an invented district, never to be used by a project"

const truthReadme = `This folder holds what nobody in Averholt knows: where each species really
lives, and which records are wrong. It is the known answer that maps and tests
are held against. It is never to be used by a project: not as a layer, not as
records, not to choose where to go.

SPECIES_psi.tif       the chance that a cell is occupied, 0 to 1
SPECIES_occupied.tif  whether it is: 1 or 0
defects.csv           the records that carry a planted mistake, and which

A few records are sound and still lie where the species is not now: those at
places where it once was, and those whose place is known to a kilometre only.
`

// writeTruth writes the truth and the list of planted mistakes.
func writeTruth(folder string, l *Life) error {
	for _, t := range l.Truth {
		if err := t.writePsi(filepath.Join(folder, t.Species.ID+"_psi.tif"), l.ground.d.Grid); err != nil {
			return err
		}
		if err := t.writeOccupied(filepath.Join(folder, t.Species.ID+"_occupied.tif"), l.ground.d.Grid); err != nil {
			return err
		}
	}
	if err := os.WriteFile(filepath.Join(folder, "README.txt"), []byte(truthReadme), 0o666); err != nil {
		return err
	}
	return writeDefects(filepath.Join(folder, "defects.csv"), l)
}

// psiStep is what one step of a stored byte is worth.
const psiStep = 0.005

func (t *Truth) writePsi(path string, grid layers.Grid) error {
	cells := make([]uint8, len(t.Psi))
	for i, p := range t.Psi {
		cells[i] = uint8(math.Round(float64(p) / psiStep))
	}
	return writeBytes(path, layers.CogSpec{
		Grid: grid, Nodata: 255, Scale: psiStep, Unit: "1", Overviews: layers.Average,
		Description: fmt.Sprintf("chance that a cell holds %s: %s", t.Species.Common, forbidden),
	}, cells)
}

func (t *Truth) writeOccupied(path string, grid layers.Grid) error {
	cells := make([]uint8, len(t.Occupied))
	for i, o := range t.Occupied {
		if o {
			cells[i] = 1
		}
	}
	return writeBytes(path, layers.CogSpec{
		Grid: grid, Nodata: 255, Overviews: layers.Majority,
		Description: fmt.Sprintf("1 where %s lives, 0 where it does not: %s", t.Species.Common, forbidden),
	}, cells)
}

// writeBytes writes a raster of bytes as a Cloud Optimized GeoTIFF.
func writeBytes(path string, spec layers.CogSpec, cells []uint8) (err error) {
	cog, err := layers.NewCog(spec)
	if err != nil {
		return err
	}
	defer func() {
		if closeErr := cog.Close(); err == nil {
			err = closeErr
		}
	}()
	codec := layers.NewTileCodec(layers.CogBytes, spec.Nodata)
	full := layers.TileSide
	tile := func(col, row int) ([]byte, error) {
		return codec.EncodeBytes(nil, cut(cells, spec, col, row, full)), nil
	}
	for row := range (land.Rows + full - 1) / full {
		for col := range (land.Cols + full - 1) / full {
			coded, _ := tile(col, row)
			if err := cog.SetTile(col, row, len(coded)); err != nil {
				return err
			}
		}
	}
	if err := setReduced(cog, codec, spec, cells); err != nil {
		return err
	}
	return layers.Publish(path, func(w io.Writer) error { return cog.Write(w, tile) })
}

// setReduced gives the tiles of half the resolution.
func setReduced(cog *layers.CogWriter, codec *layers.TileCodec, spec layers.CogSpec, cells []uint8) error {
	const side = layers.TileSide
	half := make([]uint8, side*side)
	for row := range (land.Rows + 2*side - 1) / (2 * side) {
		for col := range (land.Cols + 2*side - 1) / (2 * side) {
			four := cut(cells, spec, col, row, 2*side)
			if spec.Overviews == layers.Majority {
				layers.ReduceMode(half, four, 2*side, 2*side, spec.Nodata)
			} else {
				layers.ReduceAverage(half, four, 2*side, 2*side, spec.Nodata)
			}
			if err := cog.SetReduced(col, row, codec.EncodeBytes(nil, half)); err != nil {
				return err
			}
		}
	}
	return nil
}

// cut takes a square of cells out of the district, padded with nodata.
func cut(cells []uint8, spec layers.CogSpec, col, row, side int) []uint8 {
	out := make([]uint8, side*side)
	for i := range out {
		out[i] = spec.Nodata
	}
	for r := row * side; r < min((row+1)*side, land.Rows); r++ {
		from, to := r*land.Cols+col*side, r*land.Cols+min((col+1)*side, land.Cols)
		copy(out[(r-row*side)*side:], cells[from:to])
	}
	return out
}

func writeDefects(path string, l *Life) error {
	rows := [][]string{{"occurrenceID", "defect", "words"}}
	for _, r := range l.Records {
		if r.Defect != Sound {
			rows = append(rows, []string{r.ID, string(r.Defect), r.Words})
		}
	}
	return writeTable(path, rows)
}

// writeTable writes comma-separated rows.
func writeTable(path string, rows [][]string) error {
	return layers.Publish(path, func(w io.Writer) error { return csv.NewWriter(w).WriteAll(rows) })
}
