package suitability

import (
	"errors"
	"fmt"
	"image/color"
	"maps"
	"path/filepath"

	"tussock/layers"
)

// companionVersion is part of every companion's key, as engineVersion is of a
// surface's.
const companionVersion = "1"

// Companion is a set of byte rasters that belong to the surface of one species
// and lie on the same cells: how sure the map is, say. They are computed block by
// block, kept as segments and published as surfaces are; their files carry their
// key and never change.
type Companion struct {
	Kind    string // one word: the folder, and the name of the item's facts
	Species string
	// Recipe is all that could change a byte beyond what the surface's own key
	// holds. It must have a JSON form.
	Recipe  any
	Title   string // what the rasters are about, after the species' name
	Caution string // what they cannot say
	// Metadata are further items of every raster, by name.
	Metadata map[string]string
	Rasters  []CompanionRaster
	// Fill gives each raster one byte for every cell of a window of the grid, rows
	// one behind the other, and a note on the block. It is called from several
	// goroutines. A cell's byte must not depend on the window.
	Fill func(w layers.Window, cells [][]uint8) (note []byte, err error)
	// Facts sums up the notes for the item. What it gives must not depend on how
	// the grid was cut into blocks.
	Facts func(notes [][]byte) (any, error)
}

// CompanionRaster is one raster of a companion. With Classes it holds codes;
// without, numbers: value = byte·Scale + Offset. [ByteNodata] is unknown.
type CompanionRaster struct {
	Name          string // in the names of files
	Words         string // what it says
	Classes       []layers.Class
	Unit          string
	Scale, Offset float64
	Palette       []color.NRGBA // of numbers, by byte; none where it is empty
}

// Numbers tells whether the raster's cells may be averaged.
func (r CompanionRaster) Numbers() bool { return len(r.Classes) == 0 }

// ErrNoSpecies is wrapped where a plan has no such species.
var ErrNoSpecies = errors.New("suitability: no such species in the plan")

// companionPlane is the plane of a companion's first raster in its segments, and
// notePlane holds the block's note. They are no planes of a surface.
const (
	companionPlane Plane = 16
	notePlane      Plane = 255
	maxCompanions        = int(notePlane - companionPlane)
)

// CompanionPlan is a companion that is ready to be computed.
type CompanionPlan struct {
	Task Task // of the companion: its key, and whether it is published

	plan *Plan
	made Companion
}

// Planned is a species as the plan's audience gets it, and its task.
func (p *Plan) Planned(species string) (Subject, Task, error) {
	for i, t := range p.Tasks {
		if t.Species == species {
			return p.job.Subjects[i], t, nil
		}
	}
	return Subject{}, Task{}, fmt.Errorf("%w: %q", ErrNoSpecies, species)
}

// Job is the planned job, with every profile as the audience's maps are made by.
func (p *Plan) Job() *Job { return p.job }

// Measured takes the subject's measures over a window, which may stick out of
// the grid, in the order of [Profile.Measures].
func (p *Plan) Measured(s Subject, w layers.Window) ([]layers.Block, error) {
	return newGround(p.job, w, []*Profile{s.Profile}).measures(s.Profile, w)
}

// Companion plans a companion of one of the plan's species.
func (p *Plan) Companion(c Companion) (*CompanionPlan, error) {
	_, t, err := p.Planned(c.Species)
	switch {
	case err != nil:
		return nil, err
	case t.Withheld:
		return nil, fmt.Errorf("%w: %s, from the %s audience", ErrWithheld, c.Species, p.Audience)
	case len(c.Rasters) == 0 || len(c.Rasters) > maxCompanions:
		return nil, fmt.Errorf("suitability: a companion of %d rasters", len(c.Rasters))
	}
	t.Key = hashOf(struct {
		Version, Surface, Kind, Title, Caution string
		Recipe                                 any
		Metadata                               map[string]string
		Rasters                                []CompanionRaster
	}{companionVersion, t.Key, c.Kind, c.Title, c.Caution, c.Recipe, c.Metadata, c.Rasters})
	q := &CompanionPlan{Task: t, plan: p, made: c}
	q.Task.Done = published(q.itemPath())
	return q, nil
}

func (q *CompanionPlan) folder() string {
	return filepath.Join(q.plan.job.Folder, q.made.Kind, q.made.Species)
}

func (q *CompanionPlan) itemPath() string {
	return filepath.Join(q.folder(), fmt.Sprintf("%s-%s.json", q.made.Species, q.Task.Key[:12]))
}

func (q *CompanionPlan) rasterPath(r CompanionRaster) string {
	return filepath.Join(q.folder(), fmt.Sprintf("%s-%s-%s.tif", q.made.Species, r.Name, q.Task.Key[:12]))
}

// spec is one of the rasters as a file.
func (q *CompanionPlan) spec(r CompanionRaster) layers.CogSpec {
	j := q.plan.job
	s, _, _ := q.plan.Planned(q.made.Species)
	spec := layers.CogSpec{
		Grid: j.Grid, Cells: layers.CogBytes, Nodata: ByteNodata, Overviews: layers.Majority, Classes: r.Classes,
		Description: fmt.Sprintf("%s: %s", s.Profile.Title(), r.Words),
		Metadata: map[string]string{
			"AUDIENCE": j.Audience.String(), "CAUTION": q.made.Caution, "PROJECT": j.Project, "REFERENCE_DATE": j.Date,
			"SPECIES": s.Profile.Scientific, "PROFILE": s.Profile.Hash(), "VERSION": q.Task.Key,
		},
	}
	maps.Copy(spec.Metadata, q.made.Metadata)
	if q.Task.MapCell > 1 {
		spec.Metadata["GENERALISED_TO_CELLS"] = fmt.Sprint(q.Task.MapCell)
	}
	if r.Numbers() {
		spec.Unit, spec.Scale, spec.Offset, spec.Palette, spec.Overviews = r.Unit, r.Scale, r.Offset, r.Palette, layers.Average
	}
	return spec
}
