package suitability

import (
	"fmt"
	"io"
	"path/filepath"
	"time"

	"tussock/layers"
)

// publish writes the rasters with their names and styles, and the item last.
// What it hands back are the files by plane, relative to the output folder.
func (w *changeWriter) publish() (map[string]string, error) {
	u := w.publication()
	files := map[string]string{"item": w.now.Species + "/" + filepath.Base(u.base)}
	for _, p := range []Plane{differencePlane, changePlane} {
		if err := w.plane(u, p); err != nil {
			return nil, err
		}
		files[changeNames[p]] = w.now.Species + "/" + filepath.Base(w.path(changeNames[p]+"-", ".tif"))
	}
	return files, u.finish(nil)
}

// path is a file of the comparison; its name carries both versions.
func (w *changeWriter) path(plane, ending string) string {
	return filepath.Join(w.folder, fmt.Sprintf("%s-%s%s-%s%s", w.now.Species, plane, w.old.Version[:12], w.now.Version[:12], ending))
}

func (w *changeWriter) publication() *publication {
	date, err := time.Parse(time.DateOnly, w.now.Date)
	if err != nil {
		date = time.Unix(0, 0).UTC()
	}
	licence := "other"
	if len(w.now.parts.Licences) == 1 {
		licence = w.now.parts.Licences[0]
	}
	return &publication{base: w.path("", ".json"), item: layers.StacItem{
		ID:    fmt.Sprintf("%s-%s-%s", w.now.Species, w.old.Version[:12], w.now.Version[:12]),
		Title: w.now.Title + ": what changed", Description: caution, Date: date, Licence: licence, Grid: w.grid,
		Properties: map[string]any{"version": hashOf([]string{w.old.Version, w.now.Version}), "tussock:audience": w.now.Audience,
			"tussock:project": w.now.parts.Project, "tussock:compared": []string{w.old.Version, w.now.Version}},
	}}
}

func (w *changeWriter) plane(u *publication, p Plane) error {
	spec, writer, path, name := w.specs[p], w.writers[p], w.path(changeNames[p]+"-", ".tif"), changeNames[p]
	var stats *layers.Statistics
	style := layers.ClassStyle(name, spec.Description, spec.Classes)
	if p == differencePlane {
		style = layers.Style{Name: name, Title: spec.Description, Kind: layers.StyleRamp, Stops: w.look.stops()}
		if w.stats.Count > 0 {
			public := w.stats.public(w.grid)
			stats = &public
			writer.SetStatistics(public)
		}
	}
	raster := layers.StacAsset{Key: name, Raster: &spec, Statistics: stats, Roles: []string{"data"}, Title: changeWords[p]}
	if err := u.file(path, raster, func(out io.Writer) error { return writer.Write(out, w.tiles(p)) }); err != nil {
		return err
	}
	return u.beside(path, name, spec, stats, &style)
}

func (w *changeWriter) tiles(p Plane) func(col, row int) ([]byte, error) {
	across := (w.grid.Cols + tileSide - 1) / tileSide
	return func(col, row int) ([]byte, error) {
		span := w.spans[p][row*across+col]
		tile := make([]byte, span.size)
		_, err := w.store.ReadAt(tile, span.offset)
		return tile, err
	}
}
