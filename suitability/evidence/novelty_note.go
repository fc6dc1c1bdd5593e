package evidence

import "errors"

// errOtherNote is returned where a note does not fit.
var errOtherNote = errors.New("evidence: a block's note is of another profile")

// noveltyNote counts cells of a block.
type noveltyNote struct {
	Cells     uint64
	Flags     [1 << noveltyBits]uint64 // by the three bits
	Curves    []uint64                 // outside each curve
	Compared  uint64
	Variables []uint64 // of those that are unlike: the most unlike variable
}

func (n *noveltyNote) add(f flagged, cells uint64) {
	n.Cells += cells
	n.Flags[f.bits] += cells
	if f.compared {
		n.Compared += cells
	}
	if f.bits&flagUnlike != 0 {
		n.Variables[f.variable] += cells
	}
}

func (n *noveltyNote) join(o noveltyNote) error {
	if len(n.Curves) != len(o.Curves) || len(n.Variables) != len(o.Variables) {
		return errOtherNote
	}
	n.Cells += o.Cells
	n.Compared += o.Compared
	for i, c := range o.Flags {
		n.Flags[i] += c
	}
	for i, c := range o.Curves {
		n.Curves[i] += c
	}
	for i, c := range o.Variables {
		n.Variables[i] += c
	}
	return nil
}

// flaggedBy is how many cells have a flag.
func (n *noveltyNote) flaggedBy(flag uint8) uint64 {
	sum := uint64(0)
	for bits, c := range n.Flags {
		if uint8(bits)&flag != 0 {
			sum += c
		}
	}
	return sum
}
