package suitability

import (
	"fmt"

	"tussock/layers"
)

// Habitat is what is known of one species in a window before the range rule:
// what maps are judged on, since clipping would add easy zeros.
type Habitat struct {
	S        layers.Block   // NaN where not assessed, 0 where excluded
	Excluded layers.Block   // codes: 1 where an exclusion holds, else 0
	InRange  layers.Block   // codes: the [Standing] by the documented range alone
	Measured []layers.Block // of the profile's [Profile.Measures], in their order
}

// Habitats evaluates species, or variants of one, in a window, and writes
// nothing. What they have in common is measured once. The window may stick out
// of the grid. A cell is the same in any window: an area of any size is gone
// through window by window, and memory is that of one.
//
// The profiles are those of the job's audience ([Profile.For]); a species that
// the audience may not see cell by cell is [ErrWithheld].
func (j *Job) Habitats(w layers.Window, subjects ...Subject) ([]Habitat, error) {
	shown := make([]Subject, len(subjects))
	profiles := make([]*Profile, len(subjects))
	for i, s := range subjects {
		if !j.MayExplain(s) {
			return nil, fmt.Errorf("%w: %s, for the %s audience", ErrWithheld, s.Profile.ID, j.Audience)
		}
		if err := s.Profile.checkLeft(j.Audience); err != nil {
			return nil, err
		}
		shown[i] = s.For(j.Audience)
		profiles[i] = shown[i].Profile
	}
	ground := newGround(j, w, profiles)
	list := make([]Habitat, len(shown))
	for i, s := range shown {
		h, err := ground.habitat(s)
		if err != nil {
			return nil, fmt.Errorf("species %s: %w", s.Profile.ID, err)
		}
		list[i] = h
	}
	return list, nil
}

func (g *ground) habitat(s Subject) (Habitat, error) {
	measured, err := g.measures(s.Profile, g.window)
	if err != nil {
		return Habitat{}, err
	}
	h := Habitat{S: layers.NewValues(g.window), Excluded: layers.NewCodes(g.window), InRange: s.Range.Block(g.window), Measured: measured}
	err = overRows(s.Profile, measured, g.window, h.S.ValueRow, func(row int, _ []float32, excluded []uint8) {
		copy(h.Excluded.CodeRow(row), excluded)
	})
	g.done(s.Profile)
	return h, err
}
