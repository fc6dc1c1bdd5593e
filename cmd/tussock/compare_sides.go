package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"tussock/layers"
	"tussock/suitability"
)

// side is one of the two things that are compared.
type side struct {
	path     string
	audience string
	versions []*suitability.Version
	single   bool // the item of one species
}

// versionPair is one species' older and newer map.
type versionPair struct {
	Old *suitability.Version `json:"old"`
	New *suitability.Version `json:"new"`
}

// openSide finds the maps that a path means.
func openSide(path string) (*side, error) {
	folder := path
	info, err := os.Stat(path)
	switch {
	case err != nil:
		return nil, &codedError{exitInput, err, "name a folder of published maps, its surfaces.json, or one species' item"}
	case !info.IsDir() && filepath.Base(path) == suitability.CatalogueName:
		folder = filepath.Dir(path)
	case !info.IsDir():
		v, err := suitability.OpenVersion(path)
		if err != nil {
			return nil, &codedError{exitInput, err, "name a folder of published maps, its surfaces.json, or one species' item"}
		}
		return &side{path, v.Audience, []*suitability.Version{v}, true}, nil
	}
	c, err := suitability.ReadCatalogue(folder)
	if err != nil {
		return nil, &codedError{exitInput, err, noCatalogueHint(folder)}
	}
	versions, err := c.Current(folder)
	if err != nil {
		return nil, &codedError{exitInput, err, "`tussock map verify` says what is missing"}
	}
	return &side{path, c.Audience, versions, false}, nil
}

// noCatalogueHint names the folders below that do have maps: each audience has
// its own.
func noCatalogueHint(folder string) string {
	var found []string
	for _, name := range layers.AudienceNames() {
		if _, err := os.Stat(filepath.Join(folder, name, suitability.CatalogueName)); err == nil {
			found = append(found, filepath.Join(folder, name))
		}
	}
	if found == nil {
		return "run `tussock map` first"
	}
	return "did you mean " + strings.Join(found, " or ") + "?"
}

func (s *side) of(species string) *suitability.Version {
	for _, v := range s.versions {
		if v.Species == species {
			return v
		}
	}
	return nil
}

// pairsOf pairs the species of two sides, in the order of the newer.
func (a *app) pairsOf(o compareOptions, oldPath, newPath string) (pairs []versionPair, r compareResult, err error) {
	old, err := openSide(oldPath)
	if err != nil {
		return nil, r, err
	}
	now, err := openSide(newPath)
	if err != nil {
		return nil, r, err
	}
	if err := a.oneAudience(old, now); err != nil {
		return nil, r, err
	}
	wanted, err := wantedSpecies(o.species, old, now)
	if err != nil {
		return nil, r, err
	}
	r = compareResult{Audience: now.audience, Areas: "hectares on the ellipsoid", Comparisons: []*suitability.Comparison{}, OnlyOld: []string{}, OnlyNew: []string{}}
	for _, id := range wanted {
		switch was, is := old.of(id), now.of(id); {
		case was == nil:
			r.OnlyNew = append(r.OnlyNew, id)
		case is == nil:
			r.OnlyOld = append(r.OnlyOld, id)
		default:
			pairs = append(pairs, versionPair{was, is})
		}
	}
	return pairs, r, nil
}

// oneAudience refuses maps of two audiences: what one may see the other may not.
func (a *app) oneAudience(old, now *side) error {
	if old.audience != now.audience {
		return usage(fmt.Errorf("%s is for the %s audience, and %s for the %s audience", old.path, old.audience, now.path, now.audience), "compare maps for one audience")
	}
	audience, err := a.theAudience(0)
	if err != nil {
		return err
	}
	if audience != 0 && audience.String() != now.audience {
		return usage(fmt.Errorf("the maps are for the %s audience, not for the %s audience", now.audience, audience), "name the folder of that audience's maps")
	}
	return nil
}

// noMap is said of a species that neither side has.
const noMap = "there is no map of species %q"

// wantedSpecies are the species to compare: those asked for, else that of an
// item, else all.
func wantedSpecies(asked []string, old, now *side) ([]string, error) {
	var known []string
	for _, s := range []*side{now, old} {
		for _, v := range s.versions {
			if !slices.Contains(known, v.Species) {
				known = append(known, v.Species)
			}
		}
	}
	for _, id := range asked {
		if !slices.Contains(known, id) {
			return nil, unknownSpecies(noMap, id, known)
		}
	}
	switch {
	case len(asked) > 0:
		return asked, nil
	case old.single && now.single && old.versions[0].Species != now.versions[0].Species:
		return nil, usage(fmt.Errorf("%s is of %s, and %s of %s", old.path, old.versions[0].Species, now.path, now.versions[0].Species), "name two maps of one species")
	case old.single:
		return []string{old.versions[0].Species}, nil
	case now.single:
		return []string{now.versions[0].Species}, nil
	}
	return known, nil
}

// listVersions lists the versions of a folder, current and older.
func (a *app) listVersions(o compareOptions, path string) error {
	if filepath.Base(path) == suitability.CatalogueName {
		path = filepath.Dir(path)
	}
	all, err := suitability.Versions(path)
	if errors.Is(err, suitability.ErrNoCatalogue) {
		return &codedError{exitInput, err, noCatalogueHint(path)}
	}
	if err != nil {
		return err
	}
	var known []string
	for _, v := range all {
		known = append(known, v.Species)
	}
	for _, id := range o.species {
		if !slices.Contains(known, id) {
			return unknownSpecies(noMap, id, slices.Compact(known))
		}
	}
	list := []*suitability.Version{}
	for _, v := range all {
		if len(o.species) == 0 || slices.Contains(o.species, v.Species) {
			list = append(list, v)
		}
	}
	return a.say(map[string]any{"folder": path, "versions": list}, func(w io.Writer) { printVersions(w, path, list) })
}
