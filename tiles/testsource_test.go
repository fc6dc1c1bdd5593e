package tiles

import (
	"hash/fnv"
	"math"
	"sync/atomic"

	"github.com/paulmach/orb"

	"tussock/layers"
	"tussock/suitability"
)

// field is a surface made by a formula, on a lattice of its own.
type field struct {
	lattice    layers.Lattice
	cols, rows int
	at         func(col, row int) (value, standing byte)
	about      About
	reads      atomic.Int64
}

func (f *field) Lattice() layers.Lattice { return f.lattice }
func (f *field) Size() (int, int)        { return f.cols, f.rows }
func (f *field) About() About            { return f.about }

func (f *field) ReadBytes(w layers.Window, values, standing []byte) error {
	f.reads.Add(1)
	i := 0
	for row := w.Row; row < w.Bottom(); row++ {
		for col := w.Col; col < w.Right(); col++ {
			values[i], standing[i] = f.at(col, row)
			i++
		}
	}
	return nil
}

// mercatorPoint is a point of EPSG:3857 (the sphere's formulae, OGC 17-083r4).
func mercatorPoint(p orb.Point) orb.Point {
	return orb.Point{p[0] * halfSide / 180, sphereRadius * math.Asinh(math.Tan(p[1]*math.Pi/180))}
}

// mercatorField lies in EPSG:3857 itself, where the mapping is plain arithmetic,
// with its middle at a point.
func mercatorField(middle orb.Point, cols, rows int, cell float64, at func(col, row int) (byte, byte)) *field {
	m := mercatorPoint(middle)
	return &field{
		lattice: layers.Lattice{CRS: layers.WebMercator(), Affine: [6]float64{
			m[0] - float64(cols)/2*cell, cell, 0, m[1] + float64(rows)/2*cell, 0, -cell}},
		cols: cols, rows: rows, at: at,
		about: About{ID: "adder", Name: "Adder: suitability", Description: "a test", Attribution: "A & B Trust", Version: "1.2.0"},
	}
}

// rolling is smooth suitability with every standing somewhere.
func rolling(col, row int) (value, standing byte) {
	s := 0.5 + 0.5*math.Sin(float64(col)/37)*math.Cos(float64(row)/29)
	st := suitability.Documented
	switch zone := (col/60 + 2*(row/50)) % 13; zone {
	case 1:
		st = suitability.Uncertain
	case 3:
		st = suitability.Introduced
	case 5:
		st = suitability.Excluded
	case 7:
		st = suitability.NotAssessed
	case 9:
		st = suitability.Historic
	case 10:
		st = suitability.Edge
	case 11:
		st = suitability.Outside
	case 12:
		st = suitability.Vagrant
	}
	switch st {
	case suitability.NotAssessed, suitability.Outside, suitability.Historic, suitability.Edge:
		return suitability.ByteNodata, byte(st)
	case suitability.Excluded, suitability.Vagrant:
		return 0, byte(st)
	}
	return suitability.EncodeByte(s), byte(st)
}

// patchy is rough: bytes from a hash, a third of the cells not assessed.
func patchy(col, row int) (value, standing byte) {
	h := fnv.New32a()
	h.Write([]byte{byte(col), byte(col >> 8), byte(row), byte(row >> 8)})
	n := h.Sum32()
	if n%3 == 0 {
		return suitability.ByteNodata, byte(suitability.NotAssessed)
	}
	return byte(n >> 8 % 201), byte(suitability.Documented)
}
