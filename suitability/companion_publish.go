package suitability

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"time"

	"tussock/layers"
)

// CompanionEntry is a published companion; its files are relative to the output
// folder.
type CompanionEntry struct {
	Species string            `json:"species"`
	Version string            `json:"version"`
	Item    string            `json:"item"`
	Files   map[string]string `json:"files"` // by raster
	Facts   json.RawMessage   `json:"facts"`
}

// Publish joins the blocks into published rasters, the item last, and takes the
// work folder away. Where it is published already it changes nothing.
func (q *CompanionPlan) Publish() (*CompanionEntry, error) {
	if !published(q.itemPath()) {
		if err := q.publish(); err != nil && !published(q.itemPath()) {
			return nil, fmt.Errorf("%s of species %s: %w", q.made.Kind, q.made.Species, err)
		}
	}
	os.RemoveAll(q.plan.workFolder(q.Task.Key))
	os.Remove(filepath.Join(q.plan.job.Folder, ".work")) // stays while something else uses it
	return q.entry()
}

func (q *CompanionPlan) publish() error {
	specs := map[Plane]layers.CogSpec{}
	for i, r := range q.made.Rasters {
		specs[companionPlane+Plane(i)] = q.spec(r)
	}
	facts, err := q.facts()
	if err != nil {
		return err
	}
	j, err := q.plan.join(q.Task.Key, specs)
	if err != nil {
		return err
	}
	u := q.publication()
	for i, r := range q.made.Rasters {
		if err = q.raster(u, j, r, companionPlane+Plane(i), specs); err != nil {
			break
		}
	}
	if err == nil {
		err = u.finish(map[string]any{q.property(): facts})
	}
	return errors.Join(err, j.Close())
}

func (q *CompanionPlan) property() string { return "tussock:" + q.made.Kind }

// facts sums up the notes of all blocks.
func (q *CompanionPlan) facts() (any, error) {
	var notes [][]byte
	for i := range q.plan.blocks() {
		seg, err := readSegment(q.plan.segmentPath(q.Task.Key, q.plan.block(i)))
		if err != nil {
			return nil, fmt.Errorf("%w: block %d of %d: %w", ErrIncomplete, i+1, q.plan.blocks(), err)
		}
		for _, t := range seg.Tiles {
			if t.Plane == notePlane {
				notes = append(notes, t.Data)
			}
		}
	}
	return q.made.Facts(notes)
}

func (q *CompanionPlan) publication() *publication {
	j := q.plan.job
	s, surface, _ := q.plan.Planned(q.made.Species)
	date, err := time.Parse(time.DateOnly, j.Date)
	if err != nil {
		date = time.Unix(0, 0).UTC()
	}
	return &publication{job: j, base: q.itemPath(), item: layers.StacItem{
		ID: fmt.Sprintf("%s-%s-%s", q.made.Species, q.made.Kind, q.Task.Key[:12]), Title: s.Profile.Title() + ": " + q.made.Title,
		Description: q.made.Caution, Date: date, Licence: j.licence(), Grid: j.Grid,
		Properties: map[string]any{"version": q.Task.Key, "tussock:surface": surface.Key, "tussock:audience": j.Audience.String(),
			"tussock:project": j.Project, "tussock:inputs": j.inputs(s.Profile), "tussock:licences": j.Licences, "tussock:map_cell": q.Task.MapCell},
	}}
}

// raster publishes one raster with its names and style beside it.
func (q *CompanionPlan) raster(u *publication, j *joined, r CompanionRaster, p Plane, specs map[Plane]layers.CogSpec) error {
	spec, path := specs[p], q.rasterPath(r)
	var stats *layers.Statistics
	if r.Numbers() && j.stats[p].Count > 0 {
		public := j.stats[p].public(q.plan.job.Grid)
		stats = &public
		j.writers[p].SetStatistics(public)
	}
	asset := layers.StacAsset{Key: r.Name, Raster: &spec, Statistics: stats, Roles: []string{"data"}, Title: r.Words}
	if err := u.file(path, asset, func(w io.Writer) error { return j.write(p, w) }); err != nil {
		return err
	}
	return u.beside(path, r.Name, spec, stats, r.style(spec))
}

// style is how the raster is drawn; nil where it has no colours.
func (r CompanionRaster) style(spec layers.CogSpec) *layers.Style {
	if !r.Numbers() {
		if r.Classes[0].Colour.A == 0 {
			return nil
		}
		style := layers.ClassStyle(r.Name, spec.Description, r.Classes)
		return &style
	}
	if len(r.Palette) == 0 {
		return nil
	}
	style := layers.Style{Name: r.Name, Title: spec.Description, Kind: layers.StyleRamp}
	for i := 0; i < len(r.Palette); i += 10 {
		value := float64(i)*r.Scale + r.Offset
		style.Stops = append(style.Stops, layers.StyleStop{Value: value, Colour: r.Palette[i], Label: fmt.Sprintf("%.4g", value)})
	}
	return &style
}

// entry reads the facts back from the item, whoever published it.
func (q *CompanionPlan) entry() (*CompanionEntry, error) {
	raw, err := os.ReadFile(q.itemPath())
	if err != nil {
		return nil, fmt.Errorf("suitability: %w", err)
	}
	var item struct {
		Properties map[string]json.RawMessage `json:"properties"`
	}
	if err := json.Unmarshal(raw, &item); err != nil {
		return nil, fmt.Errorf("suitability: %s: %w", q.itemPath(), err)
	}
	job := q.plan.job
	e := &CompanionEntry{Species: q.made.Species, Version: q.Task.Key, Item: job.relative(q.itemPath()), Files: map[string]string{}, Facts: item.Properties[q.property()]}
	for _, r := range q.made.Rasters {
		e.Files[r.Name] = job.relative(q.rasterPath(r))
	}
	return e, nil
}
