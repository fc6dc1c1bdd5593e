package tiles

import (
	"fmt"

	"tussock/suitability"
)

// CountBins groups a number of species into at most so many classes as can be
// told apart: none, then equal runs of numbers. The last run takes all above.
type CountBins struct {
	Words []string
	width int
}

// NewCountBins groups the numbers 0 to most.
func NewCountBins(most int) CountBins {
	most = max(most, 1)
	b := CountBins{Words: []string{"none"}, width: (most + maxClasses - 2) / (maxClasses - 1)}
	for from := 1; from <= most; from += b.width {
		to := min(from+b.width-1, most)
		word := fmt.Sprintf("%d to %d species", from, to)
		if from == to {
			word = fmt.Sprintf("%d species", from)
		}
		b.Words = append(b.Words, word)
	}
	return b
}

// of is the class of a number of species.
func (b CountBins) of(count byte) byte {
	if count == suitability.ByteNodata || count == 0 {
		return count
	}
	return byte(min(1+(int(count)-1)/b.width, len(b.Words)-1))
}

// Palette is the palette of the classes.
func (b CountBins) Palette() (*Palette, error) { return NewPalette(Codes, nil, b.Words) }
