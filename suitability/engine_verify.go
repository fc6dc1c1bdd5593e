package suitability

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"tussock/layers"
)

// Difference is one way in which what stands in a folder is not what its
// catalogue, its items and the plan say.
type Difference struct {
	Surface string `json:"surface"` // the species' id, or that of the number of species
	File    string `json:"file"`    // relative to the catalogue
	What    string `json:"what"`
}

func (d Difference) String() string { return fmt.Sprintf("%s: %s: %s", d.Surface, d.File, d.What) }

// Verify compares what is published with the plan: the catalogue lists every
// surface of the plan in its present version and nothing else; every file that
// it lists is listed by the surface's item; and every file that an item lists
// is there with the size and the SHA-256 that the item gives. It reads all
// files and changes none. The error is of reading the catalogue, or ctx's.
func (p *Plan) Verify(ctx context.Context) ([]Difference, error) {
	c, err := ReadCatalogue(p.job.Folder)
	if err != nil {
		return nil, err
	}
	v := &verification{folder: p.job.Folder}
	p.compare(c, v)
	for _, e := range append(slices.Clone(c.Species), c.Count) {
		if err := v.surface(ctx, e); err != nil {
			return nil, err
		}
	}
	return v.found, nil
}

// compare holds the catalogue against the plan.
func (p *Plan) compare(c *Catalogue, v *verification) {
	listed := map[string]string{c.Count.ID: c.Count.Version}
	for _, e := range c.Species {
		listed[e.ID] = e.Version
	}
	wanted := map[string]string{countID: p.CountKey}
	for _, t := range p.Tasks {
		if !t.Withheld {
			wanted[t.Species] = t.Key
		}
	}
	for _, id := range slices.Sorted(maps.Keys(wanted)) {
		switch version, ok := listed[id]; {
		case !ok:
			v.add(id, CatalogueName, "the catalogue does not list it; hint: compute the map again")
		case version != wanted[id]:
			v.add(id, CatalogueName, "the catalogue lists version %.12s, the project now gives %.12s; hint: compute the map again", version, wanted[id])
		}
	}
	for _, id := range slices.Sorted(maps.Keys(listed)) {
		if _, ok := wanted[id]; !ok {
			v.add(id, CatalogueName, "the catalogue lists it, the project does not show it to the %s audience; hint: compute the map again", p.Audience)
		}
	}
}

type verification struct {
	folder string
	found  []Difference
}

func (v *verification) add(surface, file, format string, args ...any) {
	v.found = append(v.found, Difference{surface, file, fmt.Sprintf(format, args...)})
}

// listedItem is what verification reads of a STAC item.
type listedItem struct {
	Assets map[string]listedAsset `json:"assets"`
}

type listedAsset struct {
	Href     string `json:"href"`
	Checksum string `json:"file:checksum"`
	Size     *int64 `json:"file:size"`
}

func (v *verification) surface(ctx context.Context, e CatalogueEntry) error {
	item, err := v.item(e.Item)
	if err != nil {
		v.add(e.ID, e.Item, "%v; hint: remove what is left of it and compute the map again", err)
		return ctx.Err()
	}
	folder := filepath.ToSlash(filepath.Dir(filepath.FromSlash(e.Item)))
	listed := map[string]bool{}
	for _, key := range slices.Sorted(maps.Keys(item.Assets)) {
		if err := ctx.Err(); err != nil {
			return err
		}
		a := item.Assets[key]
		file := folder + "/" + strings.TrimPrefix(a.Href, "./")
		listed[file] = true
		if err := v.asset(file, a); err != nil {
			v.add(e.ID, file, "%v; hint: remove %s and compute the map again", err, e.Item)
		}
	}
	for _, plane := range slices.Sorted(maps.Keys(e.Files)) {
		if !listed[e.Files[plane]] {
			v.add(e.ID, e.Files[plane], "its item, %s, does not list it", e.Item)
		}
	}
	return ctx.Err()
}

// maxItemBytes is far above what an item's classes and inputs come to.
const maxItemBytes = 64 << 20

func (v *verification) item(name string) (listedItem, error) {
	var item listedItem
	f, err := v.open(name)
	if err != nil {
		return item, err
	}
	defer f.Close()
	raw, err := io.ReadAll(io.LimitReader(f, maxItemBytes))
	if err == nil {
		err = json.Unmarshal(raw, &item)
	}
	if err == nil && len(item.Assets) == 0 {
		err = errors.New("it lists nothing")
	}
	if err != nil {
		return item, fmt.Errorf("the item cannot be read: %w", err)
	}
	return item, nil
}

// asset tells what is wrong with a listed file.
func (v *verification) asset(file string, a listedAsset) error {
	f, err := v.open(file)
	if err != nil {
		return err
	}
	defer f.Close()
	if a.Size == nil || a.Checksum == "" {
		return errors.New("its item gives neither size nor checksum")
	}
	sum := sha256.New()
	size, err := io.Copy(sum, f)
	switch {
	case err != nil:
		return fmt.Errorf("it cannot be read: %w", err)
	case size != *a.Size:
		return fmt.Errorf("it has %d bytes; its item says %d", size, *a.Size)
	case layers.MultihashSHA256+hex.EncodeToString(sum.Sum(nil)) != a.Checksum:
		return errors.New("its bytes have changed: the checksum differs from its item's")
	}
	return nil
}

// open opens a file below the folder; a list that was tampered with must not
// lead out of it.
func (v *verification) open(name string) (*os.File, error) {
	if !filepath.IsLocal(filepath.FromSlash(name)) {
		return nil, errors.New("it would lie outside the folder")
	}
	f, err := os.Open(filepath.Join(v.folder, filepath.FromSlash(name)))
	if errors.Is(err, os.ErrNotExist) {
		return nil, errors.New("it is missing")
	}
	return f, err
}
