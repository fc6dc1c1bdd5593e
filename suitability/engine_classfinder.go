package suitability

// classFinder finds classes of many cells: for most hundredths of suitability
// there is only one class that it can be.
type classFinder struct {
	classes Classes
	buckets [finderBuckets + 1]uint8 // the class of S·256 rounded down, or severalClasses
}

const (
	finderBuckets  = 256 // a power of two, so that S·256 is exact
	severalClasses = 254 // more than Classes.Check lets through
)

func (c Classes) finder() *classFinder {
	f := &classFinder{classes: c}
	for i := range f.buckets {
		from, to := float32(i)/finderBuckets, float32(i+1)/finderBuckets
		f.buckets[i] = uint8(c.OfFloat32(from))
		for _, b := range c {
			if from < float32(b) && float32(b) < to {
				f.buckets[i] = severalClasses
			}
		}
	}
	return f
}

// row writes the class of each number, ByteNodata for unknown ones.
func (f *classFinder) row(dst []uint8, numbers []float32) {
	for i, S := range numbers[:len(dst)] {
		if !(S >= 0 && S <= 1) {
			dst[i] = uint8(f.classes.OfFloat32(S)) // −1 for unknown becomes 255
			continue
		}
		class := f.buckets[int(S*finderBuckets)]
		if class == severalClasses {
			class = uint8(f.classes.OfFloat32(S))
		}
		dst[i] = class
	}
}
