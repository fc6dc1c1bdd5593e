package project

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"tussock/layers"
)

// foundRaster is a raster and what a look at its cells tells.
type foundRaster struct {
	file, name string
	info       layers.RasterInfo
	codes      []int // the numbers that occur, if they are whole and few
	low, high  float64
}

// fewCodes is how many different whole numbers still look like classes.
const fewCodes = 64

// stripCells is how many cells are read at a time.
const stripCells = 1 << 20

func (s *starter) findRaster(file string) {
	raster, err := layers.OpenRaster(s.path(file), 1)
	if err != nil {
		s.leave(file, err)
		return
	}
	defer raster.Close()
	found := foundRaster{file: file, info: raster.Info()}
	if found.info.CRS.IsZero() {
		s.leave(file, errors.New("it names no coordinate reference system"))
		return
	}
	if err := found.look(raster); err != nil {
		s.leave(file, err)
		return
	}
	found.name = s.nameFor(file)
	s.rasters = append(s.rasters, found)
}

// wholeNumbers tells whether a raster's type can hold classes.
func (f *foundRaster) wholeNumbers() bool {
	return !strings.Contains(f.info.Type, "Float") && f.info.Scale == 1 && f.info.Offset == 0
}

// look reads every cell once: for the codes that occur, or the range of values.
func (f *foundRaster) look(raster *layers.Raster) error {
	seen := map[int32]bool{}
	f.low, f.high = math.Inf(1), math.Inf(-1)
	rows := max(1, stripCells/max(1, f.info.Cols))
	for row := 0; row < f.info.Rows; row += rows {
		n := min(rows, f.info.Rows-row)
		err := f.lookRange(raster, row, n)
		if err == nil && f.wholeNumbers() && (len(seen) <= fewCodes || f.info.Classes != nil) {
			err = f.lookCodes(raster, row, n, seen)
		}
		if err != nil {
			return err
		}
	}
	if f.low > f.high {
		return errors.New("it holds no known cell")
	}
	if f.wholeNumbers() && len(seen) <= fewCodes || f.info.Classes != nil && len(seen) <= layers.MaxClasses {
		for code := range seen {
			f.codes = append(f.codes, int(code))
		}
		slices.Sort(f.codes)
	}
	return nil
}

func (f *foundRaster) lookRange(raster *layers.Raster, row, rows int) error {
	values := make([]float32, rows*f.info.Cols)
	if err := raster.ReadFloat32(0, row, f.info.Cols, rows, values); err != nil {
		return err
	}
	for _, v := range values {
		if v == v {
			f.low, f.high = min(f.low, float64(v)), max(f.high, float64(v))
		}
	}
	return nil
}

func (f *foundRaster) lookCodes(raster *layers.Raster, row, rows int, seen map[int32]bool) error {
	codes, known := make([]int32, rows*f.info.Cols), make([]bool, rows*f.info.Cols)
	if err := raster.ReadInt32(0, row, f.info.Cols, rows, codes, known); err != nil {
		return err
	}
	for i, code := range codes {
		if known[i] {
			seen[code] = true
		}
		if len(seen) > layers.MaxClasses {
			return nil
		}
	}
	return nil
}

// isClasses tells whether the raster looks like classes.
func (f *foundRaster) isClasses() bool { return f.codes != nil }

// className is the file's name of a code, or "".
func (f *foundRaster) className(code int) string {
	for _, c := range f.info.Classes {
		if c.Value == code {
			return c.Name
		}
	}
	return ""
}

// invented are names for the codes that the file does not name.
func (f *foundRaster) invented() (pairs []string) {
	for _, code := range f.codes {
		if f.className(code) == "" {
			pairs = append(pairs, fmt.Sprintf("%d: %s", code, inventedName(code)))
		}
	}
	return pairs
}

func inventedName(code int) string {
	return strings.ReplaceAll(fmt.Sprintf("class_%d", code), "-", "minus_")
}

// present are the names of the classes that occur.
func (f *foundRaster) present() []string {
	var names []string
	for _, code := range f.codes {
		names = append(names, cmp.Or(f.className(code), inventedName(code)))
	}
	return names
}
