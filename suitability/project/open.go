package project

import (
	"context"
	"errors"

	"tussock/layers"
	"tussock/layers/records"
	"tussock/suitability"
)

// Opened is a project with its layers lined up on its grid: everything that the
// engine needs. Close it.
type Opened struct {
	*Project
	Grid     layers.Grid
	Layers   *layers.Set
	Inputs   map[string]string     // layer name → hash of its content and settings
	Subjects []suitability.Subject // one per species, in the order of the file

	cleaned *records.Cleaning // nil until somebody asks
}

// Close lets go of the layers' sources.
func (o *Opened) Close() error { return o.Layers.Close() }

// Open reads a project as [Load] does and opens its layers and ranges. Mistakes
// that only show with layers at hand come back together with all others.
// Features and ranges are read at once; rasters when cells are asked for.
func Open(ctx context.Context, path string) (*Opened, error) {
	r, err := read(path)
	if err != nil {
		return nil, err
	}
	return r.open(ctx)
}

// opening is a reading with layers at hand.
type opening struct {
	*reading
	ctx     context.Context
	grid    layers.Grid
	layers  map[string]*layers.Layer
	order   []*layers.Layer
	inputs  map[string]string
	ranged  map[*profile][]suitability.RangePolygon // nil until somebody asks
	cleaned *records.Cleaning                       // nil until somebody asked, or where it failed
	asked   bool                                    // for the records
}

// open opens what can be opened even where something else is wrong, so that all
// mistakes are found in one go.
func (r *reading) open(ctx context.Context) (*Opened, error) {
	o := &opening{reading: r, ctx: ctx, layers: map[string]*layers.Layer{}, inputs: map[string]string{}}
	if err := o.openAll(); err != nil {
		o.close()
		return nil, err
	}
	set := layers.NewSet(o.grid, o.order...)
	subjects := o.subjects(set)
	if err := r.err(); err != nil {
		o.close()
		return nil, err
	}
	return &Opened{Project: r.project(), Grid: o.grid, Layers: set, Inputs: o.inputs, Subjects: subjects, cleaned: o.cleaned}, nil
}

// openAll opens the grid and the layers, and checks classes by them. Its error
// is one that no line of the project file is to blame for.
func (o *opening) openAll() error {
	if !o.openGrid() {
		if err := o.err(); err != nil {
			return err
		}
		return Problems{{File: o.path, Message: "there is no grid to line the layers up on"}}
	}
	for i := range o.file.Layers {
		if err := o.ctx.Err(); err != nil {
			return err
		}
		o.openLayer(o.file.Layers[i].Name, &o.file.Layers[i].Value)
	}
	for _, p := range o.profiles {
		o.checkClassNames(p)
	}
	o.checkPictureClasses()
	o.checkNames(o.file.Cleaning.Water.at, o.file.Cleaning.Water.Layer, "classes", o.file.Cleaning.Water.Classes, false, map[uint8]string{})
	return nil
}

func (o *opening) close() error {
	var errs []error
	for _, l := range o.order {
		errs = append(errs, l.Close())
	}
	return errors.Join(errs...)
}
