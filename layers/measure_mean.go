package layers

import (
	"fmt"
	"math"
)

// Kernel is how the cells around a cell count towards a mean.
type Kernel uint8

// The kernels.
const (
	Flat     Kernel = iota // every cell whose centre lies within the radius counts the same
	Gaussian               // exp(−(dx² + dy²)/2σ²), σ = radius/2, over the square |dx|, |dy| ≤ radius
)

var kernelNames = [...]string{"flat", "gaussian"}

func (k Kernel) String() string {
	if int(k) < len(kernelNames) {
		return kernelNames[k]
	}
	return ""
}

// ParseKernel reads a kernel's name; the empty string is "flat".
func ParseKernel(name string) (Kernel, error) {
	if name == "" {
		return Flat, nil
	}
	for i, known := range kernelNames {
		if name == known {
			return Kernel(i), nil
		}
	}
	return 0, fmt.Errorf("layers: %q is no kernel; use flat or gaussian", name)
}

// Mean is the mean of a quantity around a cell, over the known cells:
//
//	Σ weight · value / Σ weight
//
// with the weights of the kernel. Of a features layer it is the mean of what
// the layer burns. Sums are float64 in an order that depends on the cell alone.
// With a barrier it is the mean over the cells that can be reached inside the
// kernel's disc or square.
//
// Unit: the layer's. Reach: Radius. Unknown: where the known cells have less
// than 60 % of the kernel's whole weight, which behind a barrier is the weight
// of the cells that can be reached.
type Mean struct {
	Layer     string
	Radius    float64 // metres
	Kernel    Kernel
	LayerUnit string // the layer's unit, only for showing
	Barrier   Barrier
}

// Key implements [Measure].
func (m Mean) Key() string {
	return fmt.Sprintf("mean layer=%q radius=%s kernel=%s", m.Layer, keyNumber(m.Radius), m.Kernel) + m.Barrier.key()
}

// Reach implements [Measure].
func (m Mean) Reach() float64 { return m.Radius }

// LayerNames implements [Measure].
func (m Mean) LayerNames() []string { return m.Barrier.with(m.Layer) }

// Unit implements [Measure].
func (m Mean) Unit() string { return m.LayerUnit }

// Check implements [Measure].
func (m Mean) Check(r Reader) error {
	if _, err := layerOfKind(r, "mean", m.Layer, Quantity, Features); err != nil {
		return err
	}
	if m.Kernel.String() == "" {
		return fmt.Errorf("layers: mean of layer %q: kernel %d is not known; use flat or gaussian", m.Layer, m.Kernel)
	}
	if err := checkMetres("mean", m.Layer, "the radius", m.Radius); err != nil {
		return err
	}
	return m.Barrier.check(r, "mean", m.Layer)
}

// Eval implements [Measure].
func (m Mean) Eval(r Reader, w Window) (Block, error) {
	if err := m.Check(r); err != nil {
		return Block{}, err
	}
	cell := r.Grid().Cell
	d := newDisc(m.Radius, cell)
	source, err := r.Read(m.Layer, w.Grow(d.radius))
	if err != nil {
		return Block{}, err
	}
	out, shape := Block{}, d
	weights := gaussianWeights(d.radius, m.Radius/cell)
	if m.Kernel == Gaussian {
		shape = squareShape(d.radius)
		out = gaussianMean(source, w, weights)
	} else {
		out = flatMean(source, w, d)
	}
	cut, err := m.Barrier.cut(r, "mean", m.Layer, w, shape)
	if err != nil || cut == nil {
		return out, err
	}
	mean := reachedFlat(source, d)
	if m.Kernel == Gaussian {
		mean = reachedGaussian(source, cut.flood, weights)
	}
	cut.values(out, mean)
	return out, nil
}

// flatMean divides the sum over each disc by its known cells.
func flatMean(source Block, w Window, d disc) Block {
	out := NewValues(w)
	known := newKnownCells(source, w, d)
	add := exactSums(source, w, d)
	if add == nil {
		add = chordSums(source, w, d)
	}
	for row := w.Row; row < w.Bottom(); row++ {
		sums := add(row)
		to := out.ValueRow(row)
		for i, n := range known.row(row) {
			if d.enough(int(n)) {
				to[i] = float32(sums[i] / float64(n))
			}
		}
	}
	return out
}

// sumRow hands out the sums over the discs around the cells of one row; rows
// are asked for in order.
type sumRow func(row int) []float64

// exactSums adds as whole multiples of the finest bit that any value uses. It
// declines, with nil, unless that is exact: then the sum of float64 in any
// order is exact as well, and both ways give the same bytes.
func exactSums(source Block, w Window, d disc) sumRow {
	summer, scale := exactSummer(source, d)
	if summer == nil {
		return nil
	}
	whole, sums := make([]int64, w.Cols), make([]float64, w.Cols)
	return func(row int) []float64 {
		summer.row(row, w.Col, d.chords, whole)
		for i, n := range whole {
			sums[i] = float64(n) * scale
		}
		return sums
	}
}

// exactSummer adds the values of a block as whole multiples of scale.
func exactSummer(source Block, d disc) (summer *discSummer, scale float64) {
	unit, most := finestBit(source)
	if math.IsInf(most, 0) || math.Ldexp(most, -unit)*float64(d.cells) >= 1<<53 {
		return nil, 0
	}
	perUnit := math.Ldexp(1, -unit)
	return newDiscSummer(source.Window, func(row int, cells []int64) {
		for i, v := range source.ValueRow(row) {
			cells[i] = 0
			if v == v {
				cells[i] = int64(float64(v) * perUnit)
			}
		}
	}), math.Ldexp(1, unit)
}

// finestBit is the exponent of the lowest bit set in any value of a block, and
// the greatest size of a value.
func finestBit(b Block) (exponent int, most float64) {
	exponent = 128
	for row := b.Window.Row; row < b.Window.Bottom(); row++ {
		for _, v := range b.ValueRow(row) {
			if v != v || v == 0 {
				continue
			}
			most = max(most, math.Abs(float64(v)))
			exponent = min(exponent, lowestBit(v))
		}
	}
	return exponent, most
}
