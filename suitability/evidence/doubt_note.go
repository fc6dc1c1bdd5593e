package evidence

import (
	"encoding/json"
	"fmt"
	"math"
)

// doubtNote counts cells of a block. All are whole numbers, so that blocks add up
// to the same sums in any order: variances in steps of 2^-36, standard deviations
// in steps of 2^-32.
type doubtNote struct {
	Cells    uint64
	Variance [doubtSources]uint64 // summed over cells
	Spread   [doubtSources]uint64 // standard deviations, summed over cells
	Moved    [doubtSources]uint64 // cells in another class than stated in at least a quarter of the draws
	Stable   uint64               // draws in the modal class, summed over cells
	Sure     uint64               // cells with a stability of 1
	Worded   uint64               // cells with a stability of at least 0.6
	Dominant [doubtSources]uint64 // cells by dominant source; the first is for none
	Change   []uint64             // cells by the single change
}

const (
	varianceSteps = 1 << 36
	spreadSteps   = 1 << 32

	// wordedShare is the least stability at which a class may be put in one word
	// (the project's own choice).
	wordedShare = 0.6
)

func (j *doubting) newNote() doubtNote {
	return doubtNote{Change: make([]uint64, len(j.changes()))}
}

// add counts a unit of so many cells.
func (n *doubtNote) add(s *drawnStrip, unit, cells int) {
	c := uint64(cells)
	draws := s.job.doubt.Draws
	variances, source := s.dominant(unit)
	for k, v := range variances {
		n.Variance[k] += c * uint64(math.Round(v*varianceSteps))
		n.Spread[k] += c * uint64(math.Round(math.Sqrt(v)*spreadSteps))
		if 4*int(s.moved[k][unit]) >= draws {
			n.Moved[k] += c
		}
	}
	_, share := s.modal(unit)
	n.Cells += c
	n.Stable += c * uint64(math.Round(share*float64(draws)))
	if share == 1 {
		n.Sure += c
	}
	if share >= wordedShare {
		n.Worded += c
	}
	n.Dominant[source] += c
	n.Change[s.change[unit]] += c
}

// join adds another block's counts.
func (n *doubtNote) join(o doubtNote) error {
	if len(n.Change) != len(o.Change) {
		return fmt.Errorf("evidence: a block counts %d changes, not %d", len(o.Change), len(n.Change))
	}
	n.Cells += o.Cells
	for k := range doubtSources {
		n.Variance[k] += o.Variance[k]
		n.Spread[k] += o.Spread[k]
		n.Moved[k] += o.Moved[k]
		n.Dominant[k] += o.Dominant[k]
	}
	n.Stable += o.Stable
	n.Sure += o.Sure
	n.Worded += o.Worded
	for i, c := range o.Change {
		n.Change[i] += c
	}
	return nil
}

// joinNotes adds up the notes of all blocks.
func (j *doubting) joinNotes(notes [][]byte) (doubtNote, error) {
	all := j.newNote()
	for _, raw := range notes {
		var n doubtNote
		if err := json.Unmarshal(raw, &n); err != nil {
			return all, fmt.Errorf("evidence: a block's note: %w", err)
		}
		if err := all.join(n); err != nil {
			return all, err
		}
	}
	return all, nil
}
