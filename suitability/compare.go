package suitability

import (
	"context"
	"errors"
	"fmt"
	"math"
	"path/filepath"

	"tussock/layers"
)

// Comparison is what differs between two versions of one species' map. Areas
// are in hectares on the ellipsoid of the maps' CRS (see [layers.CellAreas]).
type Comparison struct {
	Species  string   `json:"species"`
	Title    string   `json:"title"`
	Audience string   `json:"audience"`
	Old      Compared `json:"old"`
	New      Compared `json:"new"`

	Same       bool     `json:"same"` // in every cell: number, class and standing
	Because    string   `json:"because"`
	Parts      []Part   `json:"changed_parts"`
	Unrecorded []string `json:"parts_not_recorded"` // by one of the two items

	// Shown are the cells that either version gives a class; Changed those that
	// differ at all, which may be others too. Unchanged is the share of Shown
	// with the same number and state in both, 0 to 1; null where nothing is shown.
	Shown       Area     `json:"shown"`
	Changed     Area     `json:"changed"`
	Values      Area     `json:"changed_suitability"`
	Standings   Area     `json:"changed_standing"`
	Unchanged   *float64 `json:"share_unchanged"`
	GreatestUp  *Extreme `json:"greatest_rise"` // null where none rose
	GreatestOff *Extreme `json:"greatest_fall"`

	// Matrix is from the old states (rows) to the new (columns): classes, then
	// why no class is shown.
	Matrix     Matrix       `json:"matrix"`
	Comparable bool         `json:"same_classes"` // else steps between classes mean nothing
	Classes    []ClassTotal `json:"classes"`      // empty where the classes differ
	Moves      Moves        `json:"moves"`

	Files map[string]string `json:"files,omitempty"` // relative to the output folder
}

// Compared names one of the two versions.
type Compared struct {
	Version string `json:"version"`
	Date    string `json:"reference_date"`
	MapCell int    `json:"map_cell"` // the map is averaged over squares of so many cells
}

// Area is a number of cells and the ground that they cover.
type Area struct {
	Cells    uint64  `json:"cells"`
	Hectares float64 `json:"hectares"`
}

// Matrix counts what became of the cells.
type Matrix struct {
	Old      []string    `json:"old_states"`
	New      []string    `json:"new_states"`
	Cells    [][]uint64  `json:"cells"`
	Hectares [][]float64 `json:"hectares"`
}

// ClassTotal is one class' account, in hectares.
type ClassTotal struct {
	Name   string  `json:"class"`
	Old    float64 `json:"old_hectares"`
	Gained float64 `json:"gained_hectares"`
	Lost   float64 `json:"lost_hectares"`
	New    float64 `json:"new_hectares"`
}

// Moves add up the matrix by what happened. Up and Down are 0 where the classes
// differ.
type Moves struct {
	Up       Area `json:"up"`
	Down     Area `json:"down"`
	Appeared Area `json:"appeared"`
	Vanished Area `json:"vanished"`
	Unknown  Area `json:"became_not_assessed"`
	Known    Area `json:"left_not_assessed"`
}

// ErrNotComparable is wrapped where two items are not versions of one map.
var ErrNotComparable = errors.New("suitability: these are not two versions of one map")

// ChangeRasters is where the rasters of comparisons go, and their colours. With
// no folder none are made.
type ChangeRasters struct {
	Folder string
	Look   ChangeLook
}

// Compare compares two versions of one species' map for one audience, window by
// window. It reads what the versions show and nothing finer, and refuses an older
// version that shows more than the newer one may.
func Compare(ctx context.Context, old, now *Version, out ChangeRasters) (_ *Comparison, err error) {
	if err := mayCompare(old, now); err != nil {
		return nil, err
	}
	was, err := old.open()
	if err != nil {
		return nil, err
	}
	defer func() { err = errors.Join(err, was.Close()) }()
	is, err := now.open()
	if err != nil {
		return nil, err
	}
	defer func() { err = errors.Join(err, is.Close()) }()
	if err := sameCells(was, is); err != nil {
		return nil, err
	}
	return compare(ctx, was, is, out)
}

// mayCompare tells what is wrong where two surfaces are not versions of one map.
func mayCompare(old, now *Version) error {
	switch {
	case old.Species != now.Species:
		return fmt.Errorf("%w: %s is of %s, and %s of %s", ErrNotComparable, old.Item, old.Species, now.Item, now.Species)
	case old.Audience != now.Audience:
		return fmt.Errorf("%w: %s is for the %s audience, and %s for the %s audience", ErrNotComparable, old.Item, old.Audience, now.Item, now.Audience)
	case max(old.parts.MapCell, 1) < now.parts.MapCell: // 0 was not recorded
		return fmt.Errorf("%w: %s is shown to the %s audience in squares of %d cells, and %s in finer ones, which a comparison would show again"+
			"; hint: compare the versions for staff, or leave %s out", ErrNotComparable, now.Item, now.Audience, now.parts.MapCell, old.Item, now.Species)
	}
	return nil
}

func compare(ctx context.Context, was, is *versionReader, out ChangeRasters) (c *Comparison, err error) {
	old, now := was.version, is.version
	t := newTally(states(len(old.classes)), states(len(now.classes)), old.breaks() == now.breaks())
	var writer *changeWriter
	if out.Folder != "" {
		if writer, err = newChangeWriter(out.Folder, out.Look, old, now, is.grid); err != nil {
			return nil, err
		}
		defer func() { err = errors.Join(err, writer.Close()) }()
	}
	if err := t.all(ctx, was, is, writer); err != nil {
		return nil, err
	}
	c = t.result(old, now)
	if writer != nil {
		c.Files, err = writer.publish()
	}
	return c, err
}

// all goes through the windows in rows.
func (t *tally) all(ctx context.Context, was, is *versionReader, writer *changeWriter) (err error) {
	areas, err := layers.NewCellAreas(is.grid)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, areas.Close()) }()
	p := &pair{}
	for row := 0; row < is.grid.Rows; row += blockStep {
		for col := 0; col < is.grid.Cols; col += blockStep {
			p.window = layers.Window{Col: col, Row: row, Cols: blockStep, Rows: blockStep}.Intersect(is.grid.Window())
			err := errors.Join(ctx.Err(), was.read(p.window, &p.old), is.read(p.window, &p.now))
			if err != nil {
				return err
			}
			t.compare(p)
			if err := t.add(p, areas, is.grid); err != nil {
				return err
			}
			if writer != nil {
				if err := writer.add(p); err != nil {
					return err
				}
			}
		}
	}
	return nil
}

// ComparisonFile is where the comparisons of an output folder are listed.
func ComparisonFile(folder string) string { return filepath.Join(folder, "comparison.json") }

// round4 keeps areas to a square metre.
func round4(hectares float64) float64 { return math.Round(hectares*1e4) / 1e4 }
