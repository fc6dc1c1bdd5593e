package main

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"github.com/paulmach/orb"

	"tussock/layers"
	"tussock/suitability/project"
	"tussock/tiles/sheet"
)

// pictureGround is what lies on the ground of every picture of a project.
type pictureGround struct {
	marks  []sheet.Mark
	places []sheet.Place
}

// readGround reads the project's context and its gazetteer.
func readGround(ctx context.Context, p *project.Opened) (g pictureGround, err error) {
	for _, c := range p.Picture.Context {
		marks, err := marksOf(p.Layers, c)
		if err != nil {
			return g, fmt.Errorf("picture context: %w", err)
		}
		g.marks = append(g.marks, marks...)
	}
	places, err := p.Places(ctx)
	if err != nil {
		return g, err
	}
	for _, place := range places {
		if !strings.EqualFold(place.Kind, "office") { // where records are written up, which helps nobody to find the way
			g.places = append(g.places, sheet.Place(place))
		}
	}
	return g, nil
}

// marksOf are the marks of one layer: one, or one for each kind of road.
func marksOf(set *layers.Set, c project.ContextLayer) ([]sheet.Mark, error) {
	l, err := set.Layer(c.Layer)
	if err != nil {
		return nil, err
	}
	mark := sheet.Mark{Symbol: sheet.SymbolNamed(c.As), Words: c.Words}
	if l.Kind == layers.Classes {
		mark.Holds = holder(set, l, c.Classes)
		return []sheet.Mark{mark}, nil
	}
	features, err := set.Features(c.Layer, set.Grid().Window(), c.By)
	if err != nil {
		return nil, err
	}
	if c.By == "" {
		for _, f := range features {
			mark.Shapes = append(mark.Shapes, f.Geometry)
		}
		return drawable(mark), nil
	}
	return sorted(mark, features, c), nil
}

// sorted makes a mark for each value of an attribute, from the widest road.
func sorted(mark sheet.Mark, features []layers.PlacedFeature, c project.ContextLayer) []sheet.Mark {
	shapes := map[string][]orb.Geometry{}
	order := slices.Clone(c.Order)
	for _, f := range features {
		shapes[f.Value] = append(shapes[f.Value], f.Geometry)
		if !slices.Contains(order, f.Value) {
			order = append(order, f.Value) // and so in the order of the source
		}
	}
	var marks []sheet.Mark
	for rank, value := range order {
		m := mark
		m.Rank, m.Shapes, m.Words = rank, shapes[value], valueWords(c.Words, value)
		marks = append(marks, drawable(m)...)
	}
	return marks
}

func valueWords(all, value string) string {
	switch {
	case value == "":
		value = "other"
	case all == "":
		return value
	}
	if all == "" {
		return value + " road"
	}
	return all + ": " + value
}

// drawable leaves out a mark with nothing to draw, which the legend would
// explain for no reason.
func drawable(m sheet.Mark) []sheet.Mark {
	if len(m.Shapes) == 0 {
		return nil
	}
	return []sheet.Mark{m}
}

// holder tells which cells of a layer hold one of the classes.
func holder(set *layers.Set, l *layers.Layer, classes []string) func(layers.Window, []bool) error {
	var wanted [256]bool
	for _, name := range classes {
		if code, ok := l.ClassIndex(name); ok {
			wanted[code] = true
		}
	}
	return func(w layers.Window, into []bool) error {
		b, err := set.Read(l.Name, w)
		if err != nil {
			return err
		}
		for row := range w.Rows {
			for i, code := range b.CodeRow(w.Row + row) {
				into[row*w.Cols+i] = wanted[code]
			}
		}
		return nil
	}
}
