package suitability

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"

	"tussock/layers"
)

// CatalogueName is the file that lists a folder's current surfaces.
const CatalogueName = "surfaces.json"

// Catalogue lists the current surfaces of a project for one audience. Older
// surfaces stay beside them until somebody removes them.
type Catalogue struct {
	Project  string           `json:"project"`
	Audience string           `json:"audience"`
	Date     string           `json:"reference_date"`
	CRS      string           `json:"crs"` // code, or WKT where there is none
	Cell     float64          `json:"cell_m"`
	Classes  Classes          `json:"class_breaks"`
	Species  []CatalogueEntry `json:"species"`
	Count    CatalogueEntry   `json:"count"`
	Withheld []string         `json:"withheld,omitempty"` // species that this audience may not see
}

// CatalogueEntry is one surface; its files are relative to the catalogue.
type CatalogueEntry struct {
	ID         string            `json:"id"`
	Name       string            `json:"name"`
	Scientific string            `json:"scientific,omitempty"`
	Version    string            `json:"version"`
	MapCell    float64           `json:"map_cell_m"` // the finest cell that may be shown
	Item       string            `json:"item"`
	Files      map[string]string `json:"files"` // by plane
}

func (p *Plan) catalogue() *Catalogue {
	j := p.job
	c := &Catalogue{Project: j.Project, Audience: j.Audience.String(), Date: j.Date, CRS: crsText(j.Grid.CRS), Cell: j.Grid.Cell, Classes: j.Classes}
	for i, t := range p.Tasks {
		if t.Withheld {
			c.Withheld = append(c.Withheld, t.Species)
			continue
		}
		profile := j.Subjects[i].Profile
		e := j.entry(t.Species, t.Key, planesFor(j.Audience))
		e.Name, e.Scientific, e.MapCell = profile.Name, profile.Scientific, float64(t.MapCell)*j.Grid.Cell
		c.Species = append(c.Species, e)
	}
	c.Count = j.entry(countID, p.CountKey, []Plane{CountPlane})
	c.Count.Name, c.Count.MapCell = j.countTitle(), j.Grid.Cell
	return c
}

func (j *Job) entry(id, key string, planes []Plane) CatalogueEntry {
	e := CatalogueEntry{ID: id, Version: key, Item: j.relative(j.itemPath(id, key)), Files: map[string]string{}}
	for _, p := range planes {
		e.Files[p.String()] = j.relative(j.SurfaceFile(id, key, p))
	}
	return e
}

func (j *Job) relative(path string) string {
	rel, err := filepath.Rel(j.Folder, path)
	if err != nil {
		return path
	}
	return filepath.ToSlash(rel)
}

// write publishes the catalogue unless it stands there already.
func (c *Catalogue) write(folder string) error {
	text, err := json.MarshalIndent(c, "", "  ")
	if err != nil {
		return err
	}
	text = append(text, '\n')
	path := filepath.Join(folder, CatalogueName)
	if old, err := os.ReadFile(path); err == nil && bytes.Equal(old, text) {
		return nil
	}
	return layers.Publish(path, func(w io.Writer) error {
		_, err := w.Write(text)
		return err
	})
}

// ErrNoCatalogue is returned where no surface has been published yet.
var ErrNoCatalogue = errors.New("suitability: no surfaces here yet")

// ReadCatalogue reads a folder's catalogue.
func ReadCatalogue(folder string) (*Catalogue, error) {
	path := filepath.Join(folder, CatalogueName)
	raw, err := os.ReadFile(path)
	if errors.Is(err, os.ErrNotExist) {
		return nil, fmt.Errorf("%w: %s is missing", ErrNoCatalogue, path)
	}
	if err != nil {
		return nil, err
	}
	var c Catalogue
	if err := json.Unmarshal(raw, &c); err != nil {
		return nil, fmt.Errorf("suitability: %s: %w", path, err)
	}
	return &c, nil
}

// CataloguePath is where the plan's catalogue is published.
func (p *Plan) CataloguePath() string { return filepath.Join(p.job.Folder, CatalogueName) }
