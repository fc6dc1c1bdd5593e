package main

import (
	"crypto/sha256"
	"encoding/json"
	"fmt"
	"time"

	"tussock/layers"
	"tussock/suitability"
	"tussock/suitability/project"
	"tussock/tiles"
	"tussock/tiles/sheet"
)

// studio is what all pictures of a run share.
type studio struct {
	project   *project.Opened
	catalogue *suitability.Catalogue
	folder    string
	audience  layers.Audience
	ground    pictureGround
	options   pictureOptions
}

// picture is the picture of one species, and what closes its files.
func (s studio) picture(e suitability.CatalogueEntry) (*sheet.Picture, func() error, error) {
	c := s.catalogue
	palette, err := tiles.NewPalette(tiles.Codes, c.Classes, suitability.ClassWords(len(c.Classes)+1))
	if err != nil {
		return nil, nil, err
	}
	surface, err := tiles.OpenSurface(s.folder, c, e, suitability.ClassPlane)
	if err != nil {
		return nil, nil, err
	}
	p := &sheet.Picture{
		Map:   sheet.Map{Surface: surface, Grid: s.project.Grid, Palette: palette, MapCell: e.MapCell},
		Words: s.words(e), Marks: s.ground.marks, Places: s.ground.places, Width: s.width(), Grey: s.options.grey,
	}
	if relief := s.project.Picture.Relief; relief != "" {
		p.Map.Relief = func(w layers.Window) (layers.Block, error) { return s.project.Layers.Read(relief, w) }
	}
	return p, surface.Close, nil
}

func (s studio) width() int {
	switch {
	case s.options.width != 0:
		return s.options.width
	case s.project.Picture.Width != 0:
		return s.project.Picture.Width
	}
	return sheet.DefaultWidth
}

// words are the project's and the species' own.
func (s studio) words(e suitability.CatalogueEntry) sheet.Words {
	name := e.Name
	if name == "" {
		name = e.ID
	}
	w := sheet.Words{
		Name: name, Scientific: e.Scientific, Area: s.project.Name,
		Shows:    "Habitat suitability",
		Audience: s.audience, Date: s.project.Date.Format(time.DateOnly), Version: e.Version[:min(12, len(e.Version))],
		Cautions: s.project.Wording.Cautions, Licences: s.project.Licences,
	}
	for _, subject := range s.project.Subjects {
		if subject.Profile.ID != e.ID {
			continue
		}
		if len(subject.Range.Polygons()) > 0 {
			w.Shows = "Habitat suitability within the documented range"
		}
		w.Hazard, w.HazardKind = hazardWords(subject.Profile.Facts.Hazard)
		if subject.Profile.Facts.Hazard.Level == suitability.HazardVenomous {
			w.FirstAid = firstAidWords(s.project.Wording.FirstAid)
		}
	}
	return w
}

// hazardWords are a species' own; where nothing was said of a hazard, that is
// not taken for none, and nothing is put into the charity's mouth either.
func hazardWords(h suitability.Hazard) (text, kind string) {
	switch h.Level {
	case suitability.HazardRoad:
		return h.Text, "roads"
	case suitability.HazardVenomous, suitability.HazardWater:
		return h.Text, h.Level.String()
	case suitability.HazardLow:
		return h.Text, ""
	}
	return "", ""
}

// firstAidWords are the health service's own, with where and when they were
// taken from; the program has none.
func firstAidWords(f project.FirstAid) string {
	words := "First aid: " + f.Words()
	if f.Text == "" {
		return words
	}
	return fmt.Sprintf("%s (%s, %s)", words, f.Source, f.Date.Format(time.DateOnly))
}

// name is a species with the hash of everything that shapes its picture.
func (s studio) name(e suitability.CatalogueEntry, p *sheet.Picture) string {
	key := struct {
		Look, Width          int
		Grey                 bool
		Version, Relief      string
		MapCell              float64
		Words                sheet.Words
		Places               []sheet.Place
		Context              []project.ContextLayer
		Inputs               map[string]string
		Classes              suitability.Classes
		CRS                  string
		West, North, CellM   float64
		ColumnCount, RowsDwn int
	}{
		sheet.Look, p.Width, p.Grey, e.Version, s.project.Picture.Relief, e.MapCell, p.Words, p.Places,
		s.project.Picture.Context, s.inputs(), s.catalogue.Classes,
		p.Map.Grid.CRS.WKT(), p.Map.Grid.West, p.Map.Grid.North, p.Map.Grid.Cell, p.Map.Grid.Cols, p.Map.Grid.Rows,
	}
	text, err := json.Marshal(key)
	if err != nil {
		panic(err) // plain numbers and texts
	}
	sum := sha256.Sum256(text)
	ending := ""
	if p.Grey {
		ending = "-grey"
	}
	return fmt.Sprintf("%s-picture-%x%s.png", e.ID, sum[:6], ending)
}

// inputs are the hashes of the layers that are drawn.
func (s studio) inputs() map[string]string {
	hashes := map[string]string{}
	for _, c := range s.project.Picture.Context {
		hashes[c.Layer] = s.project.Inputs[c.Layer]
	}
	if relief := s.project.Picture.Relief; relief != "" {
		hashes[relief] = s.project.Inputs[relief]
	}
	return hashes
}
