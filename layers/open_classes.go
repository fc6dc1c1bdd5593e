package layers

import (
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb"
)

// UnknownClassError is a source's number or word that no class stands for.
type UnknownClassError struct {
	Layer, Source string
	Value         string
	Col, Row      int       // the grid's cell; not set for features
	FID           int64     // the feature; not set for a raster
	At            orb.Point // in the grid's CRS
	feature       bool
}

func (e *UnknownClassError) Error() string {
	if e.feature {
		return fmt.Sprintf("layers: layer %q (%s): feature %d at x %.10g, y %.10g has class %q, which is not among the layer's classes; hint: add it to the layer's classes, or leave such features out with where",
			e.Layer, e.Source, e.FID, e.At[0], e.At[1], e.Value)
	}
	return fmt.Sprintf("layers: layer %q (%s): the number %s at column %d, row %d of the grid (x %.10g, y %.10g) stands for no class; hint: name it under the layer's classes, or set nodata: %s if it means unknown",
		e.Layer, e.Source, e.Value, e.Col, e.Row, e.At[0], e.At[1], e.Value)
}

// mergedClasses puts the project's classes over the file's, by number, in the
// order of the numbers. Numbers that share a name are one class, which keeps
// the lowest; codes gives the class of every number.
func mergedClasses(file, project []Class) (classes []Class, codes map[int]uint8, err error) {
	byValue := map[int]Class{}
	for _, c := range slices.Concat(file, project) {
		old := byValue[c.Value]
		if c.Name == "" {
			c.Name = old.Name
		}
		if c.Colour.A == 0 {
			c.Colour = old.Colour
		}
		byValue[c.Value] = c
	}
	codes = map[int]uint8{}
	byName := map[string]uint8{}
	for _, c := range sortedClasses(byValue) {
		if c.Name == "" {
			return nil, nil, fmt.Errorf("class %d has no name", c.Value)
		}
		code, known := byName[c.Name]
		if !known {
			if len(classes) == MaxClasses {
				return nil, nil, fmt.Errorf("it has more than %d classes; hint: give numbers that belong together one name under classes", MaxClasses)
			}
			code = uint8(len(classes))
			byName[c.Name] = code
			classes = append(classes, c)
		}
		codes[c.Value] = code
	}
	return classes, codes, nil
}

func sortedClasses(byValue map[int]Class) []Class {
	var list []Class
	for _, c := range byValue {
		list = append(list, c)
	}
	slices.SortFunc(list, func(a, b Class) int {
		if a.Value < b.Value {
			return -1
		}
		return 1
	})
	return list
}

// stray marks a number without a class; its low byte is NoClass.
const strayCode uint16 = 1<<8 | uint16(NoClass)

// classTable turns stored numbers into codes: by a table where the numbers lie
// near each other, as they nearly always do.
type classTable struct {
	bytes  [256]uint16
	low    int
	dense  []uint16
	sparse map[int]uint8
}

// newClassTable makes a table; nodata, if any, is the number for unknown.
func newClassTable(codes map[int]uint8, nodata *float64) *classTable {
	t := &classTable{sparse: codes}
	low, high := math.MaxInt, math.MinInt
	for value := range codes {
		low, high = min(low, value), max(high, value)
	}
	if n := high - low + 1; len(codes) > 0 && n > 0 && n <= 1<<16 {
		t.low, t.dense = low, make([]uint16, n)
		for k := range t.dense {
			t.dense[k] = t.slow(low + k)
		}
	}
	for k := range t.bytes {
		t.bytes[k] = t.slow(k)
		if nodata != nil && *nodata == float64(k) {
			t.bytes[k] = uint16(NoClass)
		}
	}
	return t
}

func (t *classTable) slow(value int) uint16 {
	if code, ok := t.sparse[value]; ok {
		return uint16(code)
	}
	return strayCode
}

// code is the class of a number that is not nodata.
func (t *classTable) code(value int32) uint16 {
	if t.dense != nil {
		if k := int(value) - t.low; uint(k) < uint(len(t.dense)) {
			return t.dense[k]
		}
		return strayCode
	}
	return t.slow(int(value))
}

// convertBytes turns bytes into codes and tells whether any was stray.
func (t *classTable) convertBytes(dst, src []uint8) (stray bool) {
	seen := uint16(0)
	for i, v := range src {
		code := t.bytes[v]
		seen |= code
		dst[i] = uint8(code)
	}
	return seen > uint16(NoClass)
}

// convert turns numbers into codes, NoClass where not ok, and tells whether any
// was stray.
func (t *classTable) convert(dst []uint8, src []int32, ok []bool) (stray bool) {
	seen := uint16(0)
	for i, v := range src {
		code := uint16(NoClass)
		if ok[i] {
			code = t.code(v)
		}
		seen |= code
		dst[i] = uint8(code)
	}
	return seen > uint16(NoClass)
}
