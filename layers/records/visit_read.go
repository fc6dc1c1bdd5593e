package records

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"tussock/layers"
)

// ErrNoVisits is wrapped where a source holds no events.
var ErrNoVisits = errors.New("records: no visits")

// ReadVisits reads the visits of a Darwin Core archive whose core are events,
// with the Humboldt extension on their effort and an extension of occurrences,
// and brings their places to a CRS. Every event is a visit or a reject. An error
// means that the source as a whole cannot be read, or holds no events: a table of
// records, however long, is no list of visits. The archive's own meta.xml names
// its terms: the source's fields and values say nothing here.
func ReadVisits(ctx context.Context, source Source, to layers.CRS) (Visits, error) {
	a, err := openVisits(source)
	if err != nil {
		return Visits{}, err
	}
	v, err := a.visits(ctx, source, to)
	if err := errors.Join(err, a.close()); err != nil {
		return Visits{}, err
	}
	return v, nil
}

// openVisits opens an archive, in a folder or a zip.
func openVisits(s Source) (*archive, error) {
	none := fmt.Errorf("%w: %s is no Darwin Core archive\nhint: visits are events with their effort: a folder or a zip with a meta.xml; records without visits belong to `records`", ErrNoVisits, s.File)
	info, err := os.Stat(s.File)
	switch {
	case err != nil:
		return nil, fmt.Errorf("records: %w", err)
	case info.IsDir() && isArchiveFolder(s.File):
		return folderArchive(s.File)
	case info.IsDir() || !strings.EqualFold(filepath.Ext(s.File), ".zip"):
		return nil, none
	}
	a, _, isArchive, err := zipArchive(s.File)
	if err == nil && !isArchive {
		err = errors.Join(none, a.close())
	}
	return a, err
}

func (a *archive) visits(ctx context.Context, s Source, to layers.CRS) (Visits, error) {
	s.Fields, s.Values = nil, nil
	tables, err := a.tables()
	if err != nil {
		return Visits{}, err
	}
	if plain(tables[0].rowType) != "event" || isEffort(tables[0].rowType) {
		return Visits{}, fmt.Errorf("%w: %s: its core has rowType %s, not http://rs.tdwg.org/dwc/terms/Event\nhint: records without visits belong to `records`", ErrNoVisits, a.file, tables[0].rowType)
	}
	if tables[0].key < 0 {
		return Visits{}, fmt.Errorf("%w: %s: its core has no id, so that nothing can be joined to its events", ErrArchive, a.file)
	}
	events, err := a.events(tables)
	if err != nil {
		return Visits{}, err
	}
	finds, err := a.finds(ctx, tables, s, to)
	if err != nil {
		return Visits{}, err
	}
	s.Values = map[string]string{termNames[termName][0]: "event"} // the name that a record must have, and an event has not
	set, err := readTable(ctx, &events.table, s, to)
	if err != nil {
		return Visits{}, err
	}
	return events.built(set, finds, s.DecimalComma), nil
}
