package layers

import (
	"errors"
	"fmt"
	"slices"
	"sync"
)

// Set is the layers of a project on one grid. It reads the sources anew each
// time, and serves any number of goroutines.
type Set struct {
	grid   Grid
	layers map[string]*Layer
	names  []string
}

// NewSet gathers layers that were opened on a grid. Of two with one name the
// later counts.
func NewSet(grid Grid, layers ...*Layer) *Set {
	s := &Set{grid: grid, layers: map[string]*Layer{}}
	for _, l := range layers {
		if _, known := s.layers[l.Name]; !known {
			s.names = append(s.names, l.Name)
		}
		s.layers[l.Name] = l
	}
	return s
}

// Grid is the grid of all layers.
func (s *Set) Grid() Grid { return s.grid }

// Names are the layers' names in the order in which they were given.
func (s *Set) Names() []string { return slices.Clone(s.names) }

// Layer is the layer of that name.
func (s *Set) Layer(name string) (*Layer, error) {
	if l, ok := s.layers[name]; ok {
		return l, nil
	}
	hint := "the project has no layers"
	if near := Closest(name, s.names); near != "" {
		hint = fmt.Sprintf("did you mean %q?", near)
	} else if len(s.names) > 0 {
		hint = "the layers are " + shortList(s.names)
	}
	return nil, fmt.Errorf("layers: there is no layer %q; hint: %s", name, hint)
}

// Read reads a layer for exactly that window.
func (s *Set) Read(layer string, w Window) (Block, error) {
	l, err := s.opened(layer)
	if err != nil {
		return Block{}, err
	}
	if l.Kind == Features {
		return s.Burn(layer, l.Burn, w)
	}
	b := NewValues(w)
	if l.Kind == Classes {
		b = NewCodes(w)
	}
	if w.Empty() {
		return b, nil
	}
	return b, l.source.read(w, b)
}

// Burn burns a features layer for exactly that window.
func (s *Set) Burn(layer string, how Burn, w Window) (Block, error) {
	l, err := s.opened(layer)
	if err != nil {
		return Block{}, err
	}
	b := Block{Window: w, Values: make([]float32, w.Cells())}
	return b, l.source.burn(how, w, b)
}

func (s *Set) opened(name string) (*Layer, error) {
	l, err := s.Layer(name)
	if err == nil && l.source == nil {
		err = fmt.Errorf("layers: layer %q was never opened", name)
	}
	return l, err
}

// Close closes every layer.
func (s *Set) Close() error {
	var errs []error
	for _, name := range s.names {
		errs = append(errs, s.layers[name].Close())
	}
	return errors.Join(errs...)
}

// Block is a reader for one block of work: each layer, and each way to burn it,
// is read once, for the window grown by the layer's reach in metres, and every
// window inside is cut from that. A window beyond is read for itself.
func (s *Set) Block(reach map[string]float64, w Window) Reader {
	return &cachedReader{set: s, reach: reach, window: w, blocks: map[string]Block{}}
}

type cachedReader struct {
	set    *Set
	reach  map[string]float64
	window Window

	lock   sync.Mutex
	blocks map[string]Block
}

func (r *cachedReader) Grid() Grid                        { return r.set.Grid() }
func (r *cachedReader) Layer(name string) (*Layer, error) { return r.set.Layer(name) }

func (r *cachedReader) Read(layer string, w Window) (Block, error) {
	return r.part(layer, layer, w, func(w Window) (Block, error) { return r.set.Read(layer, w) })
}

func (r *cachedReader) Burn(layer string, how Burn, w Window) (Block, error) {
	key := fmt.Sprintf("%s\x00%v\x00%v\x00%q\x00%q", layer, how.Kind, how.Width, how.Field, how.Where)
	return r.part(key, layer, w, func(w Window) (Block, error) { return r.set.Burn(layer, how, w) })
}

// part cuts a window from what was read under a key, reading it first if it
// must.
func (r *cachedReader) part(key, layer string, w Window, read func(Window) (Block, error)) (Block, error) {
	grown := r.window.Grow(r.set.grid.ReachCells(r.reach[layer]))
	if !grown.Contains(w) {
		return read(w)
	}
	r.lock.Lock()
	defer r.lock.Unlock()
	b, known := r.blocks[key]
	if !known {
		var err error
		if b, err = read(grown); err != nil {
			return Block{}, err
		}
		r.blocks[key] = b
	}
	return b.Part(w), nil
}
