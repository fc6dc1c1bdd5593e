package main

import (
	"fmt"
	"slices"

	"tussock/suitability"
	"tussock/suitability/project"
	"tussock/tiles/sheet"
)

// validate checks what needs no project.
func (o pictureOptions) validate() error {
	if o.width != 0 && (o.width < sheet.MinWidth || o.width > sheet.MaxWidth) {
		return usage(fmt.Errorf("there are no pictures of %d pixels", o.width), fmt.Sprintf("--width is %d to %d", sheet.MinWidth, sheet.MaxWidth))
	}
	return nil
}

// choose finds the species to be drawn, and those that were asked for and are
// withheld.
func (o pictureOptions) choose(p *project.Opened, c *suitability.Catalogue) (chosen []suitability.CatalogueEntry, withheld []string, err error) {
	if len(o.species) == 0 {
		return c.Species, c.Withheld, nil
	}
	var known []string
	for _, e := range c.Species {
		known = append(known, e.ID)
	}
	for _, id := range o.species {
		at := slices.Index(known, id)
		switch {
		case at >= 0:
			chosen = append(chosen, c.Species[at])
		case slices.Contains(c.Withheld, id):
			withheld = append(withheld, id)
		case isSpecies(p, id):
			return nil, nil, &codedError{exitInput, fmt.Errorf("there is no map of %q for the %s audience yet", id, c.Audience), "run `tussock map` for this audience first"}
		default:
			return nil, nil, unknownSpecies("the project has no species %q", id, append(known, c.Withheld...))
		}
	}
	return chosen, withheld, nil
}

func isSpecies(p *project.Opened, id string) bool {
	return slices.ContainsFunc(p.Subjects, func(s suitability.Subject) bool { return s.Profile.ID == id })
}
