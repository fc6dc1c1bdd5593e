package gdal

import (
	"encoding/binary"
	"math"
)

// packet reads what the C side put in a tk_bytes, in the same order.
type packet []byte

func (p *packet) number() int64 {
	v := binary.NativeEndian.Uint64(*p)
	*p = (*p)[8:]
	return int64(v)
}

func (p *packet) float() float64 { return math.Float64frombits(uint64(p.number())) }
func (p *packet) int() int       { return int(p.number()) }
func (p *packet) yes() bool      { return p.number() != 0 }

func (p *packet) bytes() []byte {
	n := p.number()
	b := (*p)[:n:n]
	*p = (*p)[n:]
	return b
}

func (p *packet) text() string { return string(p.bytes()) }
