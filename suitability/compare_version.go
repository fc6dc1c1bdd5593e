package suitability

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"tussock/layers"
)

// Version is one published surface of one species, as its item lists it.
type Version struct {
	Species  string    `json:"species"` // id
	Title    string    `json:"title"`
	Version  string    `json:"version"`
	Date     string    `json:"reference_date"`
	Audience string    `json:"audience"`
	Item     string    `json:"item"`      // the path of its item
	Written  time.Time `json:"published"` // when its item was written, by the file
	Current  bool      `json:"current"`   // the catalogue lists it

	parts   parts
	classes []layers.Class
	files   map[Plane]string
}

// ErrNoSurface is wrapped where a file is no item of a species' surface.
var ErrNoSurface = errors.New("suitability: not the item of a species' map")

// surfaceItem is what is read of an item.
type surfaceItem struct {
	ID         string                  `json:"id"`
	Properties parts                   `json:"properties"`
	Assets     map[string]surfaceAsset `json:"assets"`
}

type surfaceAsset struct {
	Href    string `json:"href"`
	Classes []struct {
		Value       int    `json:"value"`
		Description string `json:"description"`
	} `json:"classification:classes"`
}

// OpenVersion reads the item of a species' surface. Its rasters are not opened.
func OpenVersion(path string) (*Version, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, fmt.Errorf("suitability: %w", err)
	}
	defer f.Close()
	info, err := f.Stat()
	if err != nil {
		return nil, fmt.Errorf("suitability: %w", err)
	}
	raw, err := io.ReadAll(io.LimitReader(f, maxItemBytes))
	if err != nil {
		return nil, fmt.Errorf("suitability: %w", err)
	}
	var item surfaceItem
	if err := json.Unmarshal(raw, &item); err != nil {
		return nil, fmt.Errorf("%w: %s: %v", ErrNoSurface, path, err)
	}
	v, err := item.version(path)
	if err != nil {
		return nil, err
	}
	v.Written = info.ModTime().UTC().Truncate(time.Second)
	return v, nil
}

// version checks an item and finds its rasters.
func (i surfaceItem) version(path string) (*Version, error) {
	p := i.Properties
	switch {
	case len(p.Version) < 12 || p.Audience == "" || p.Engine == "":
		return nil, fmt.Errorf("%w: %s lists neither version, audience nor engine", ErrNoSurface, path)
	case p.Species == nil:
		return nil, fmt.Errorf("%w: %s is about the number of species", ErrNoSurface, path)
	}
	v := &Version{
		Species: strings.TrimSuffix(i.ID, "-"+p.Version[:12]), Title: p.Title, Version: p.Version, Audience: p.Audience,
		Item: path, parts: p, files: map[Plane]string{},
	}
	if v.Species == i.ID || !filepath.IsLocal(v.Species) || v.Species != filepath.Base(v.Species) {
		return nil, fmt.Errorf("%w: %s has the id %q, which is no species with its version", ErrNoSurface, path, i.ID)
	}
	v.Date, _, _ = strings.Cut(p.Date, "T")
	for _, plane := range comparedPlanes {
		asset, ok := i.Assets[plane.String()]
		href := filepath.FromSlash(strings.TrimPrefix(asset.Href, "./"))
		if !ok || !filepath.IsLocal(href) {
			return nil, fmt.Errorf("%w: %s lists no raster of %s beside it", ErrNoSurface, path, plane)
		}
		v.files[plane] = filepath.Join(filepath.Dir(path), href)
	}
	for _, c := range i.Assets[ClassPlane.String()].Classes {
		v.classes = append(v.classes, layers.Class{Value: c.Value, Name: c.Description})
	}
	return v, v.checkClasses()
}

// comparedPlanes are the planes that every audience gets.
var comparedPlanes = []Plane{SuitabilityPlane, ClassPlane, StandingPlane}

// checkClasses holds that classes are numbered from 0 up.
func (v *Version) checkClasses() error {
	for i, c := range v.classes {
		if c.Value != i {
			return fmt.Errorf("%w: %s: its classes are not numbered from 0 up", ErrNoSurface, v.Item)
		}
	}
	if n := len(v.classes); n == 0 || n > mostClasses {
		return fmt.Errorf("%w: %s lists %d classes", ErrNoSurface, v.Item, n)
	}
	return nil
}

// mostClasses is what [Classes.Check] lets through.
const mostClasses = 101

// Classes is how many classes the version shows.
func (v *Version) Classes() int { return len(v.classes) }

// breaks are the classes in words with their limits, which tell one set of class
// breaks from another in the items of every program.
func (v *Version) breaks() string {
	names := make([]string, len(v.classes))
	for i, c := range v.classes {
		names[i] = c.Name
	}
	return strings.Join(names, ", ")
}

// Versions are all published surfaces of species in a folder, current and older,
// by species and reference date. Others' items are left aside.
func Versions(folder string) ([]*Version, error) {
	c, err := ReadCatalogue(folder)
	if err != nil {
		return nil, err
	}
	current := map[string]string{}
	for _, e := range c.Species {
		current[e.ID] = e.Version
	}
	items, err := filepath.Glob(filepath.Join(escapeGlob(folder), "surfaces", "*", "*.json"))
	if err != nil {
		return nil, err
	}
	var list []*Version
	for _, path := range items {
		v, err := OpenVersion(path)
		if errors.Is(err, ErrNoSurface) {
			continue
		}
		if err != nil {
			return nil, err
		}
		v.Current = current[v.Species] == v.Version
		list = append(list, v)
	}
	slices.SortStableFunc(list, func(a, b *Version) int {
		return strings.Compare(a.Species+"\x00"+a.Date, b.Species+"\x00"+b.Date)
	})
	return list, nil
}

// escapeGlob makes a folder's name mean itself in a pattern.
func escapeGlob(name string) string {
	return strings.NewReplacer(`\`, `\\`, `*`, `\*`, `?`, `\?`, `[`, `\[`).Replace(name)
}

// Current opens a folder's current surface of each species, in the order of the
// catalogue.
func (c *Catalogue) Current(folder string) ([]*Version, error) {
	var list []*Version
	for _, e := range c.Species {
		name := filepath.FromSlash(e.Item)
		if !filepath.IsLocal(name) {
			return nil, fmt.Errorf("suitability: %s: the item %q of species %s lies outside the folder", filepath.Join(folder, CatalogueName), e.Item, e.ID)
		}
		v, err := OpenVersion(filepath.Join(folder, name))
		if err != nil {
			return nil, fmt.Errorf("species %s: %w", e.ID, err)
		}
		v.Current = true
		list = append(list, v)
	}
	return list, nil
}
