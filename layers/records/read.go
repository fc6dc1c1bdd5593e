package records

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"time"

	"tussock/layers"
)

// batchRows is how many rows are brought to the grid's CRS in one go.
const batchRows = 4096

// Read reads a source, row by row, and brings its places to a CRS. Every row is
// a record or a reject. An error means that the source as a whole cannot be
// read: it is missing, has no column for the species or the place, or is in
// another encoding.
func Read(ctx context.Context, source Source, to layers.CRS) (Set, error) {
	t, err := open(ctx, source)
	if err != nil {
		return Set{}, err
	}
	set, err := readTable(ctx, t, source, to)
	if t.close != nil {
		err = errors.Join(err, t.close())
	}
	if err != nil {
		return Set{}, err
	}
	return set, nil
}

// open chooses how to read a source by what it is.
func open(ctx context.Context, s Source) (*table, error) {
	if strings.HasPrefix(s.File, "/vsi") {
		return openVector(ctx, s)
	}
	info, err := os.Stat(s.File)
	if err == nil && info.IsDir() {
		if isArchiveFolder(s.File) {
			return openArchiveFolder(s)
		}
		return openVector(ctx, s)
	}
	switch {
	case isTableName(s.File):
		return openDelimited(s, fileOpener(s.File))
	case strings.EqualFold(filepath.Ext(s.File), ".zip"):
		return openArchiveZip(ctx, s)
	}
	return openVector(ctx, s)
}

// readTable reads rows in batches, so that transforms are batched and the order
// is the source's.
func readTable(ctx context.Context, t *table, s Source, to layers.CRS) (Set, error) {
	p, err := newParser(t, s, to)
	if err != nil {
		return Set{}, err
	}
	b := batch{set: Set{Notes: t.notes}, names: t.names, ways: transforms{to: to}}
	defer b.ways.close()
	for r, err := range t.rows {
		if err != nil {
			return Set{}, err
		}
		b.add(p, r)
		if len(b.drafts) == batchRows {
			if err := ctx.Err(); err != nil {
				return Set{}, err
			}
			b.flush()
		}
	}
	b.flush()
	return b.set, ctx.Err()
}

func newParser(t *table, s Source, to layers.CRS) (*parser, error) {
	c, err := newColumns(t.names, s)
	if err != nil {
		return nil, err
	}
	p := &parser{
		placer: &placer{columns: c, to: to, geometryCRS: t.crs, decimalComma: s.DecimalComma},
		names:  t.names, square: s.Square,
	}
	if !s.Today.IsZero() {
		y, m, d := s.Today.Date()
		p.today = time.Date(y, m, d, 0, 0, 0, 0, time.UTC)
	}
	if s.CRS != "" {
		crs, err := layers.ParseCRS(s.CRS)
		if err != nil {
			return nil, fmt.Errorf("records: %s: %w", s.File, err)
		}
		p.sourceCRS = &crs
	}
	return p, p.usable(t, s)
}

// usable refuses a source in which no row could ever be a record.
func (p *parser) usable(t *table, s Source) error {
	c := p.columns
	if !c.has(termName) {
		return fmt.Errorf("records: %s has no column scientificName%s\nhint: name it, as in fields: {scientificName: sp}, or give one species to all, as in values: {scientificName: Vipera berus}", s.File, nearest(termName, t.names))
	}
	lonLat := c.has(termLongitude) && c.has(termLatitude)
	xy := c.has(termX) && c.has(termY)
	switch {
	case t.geometries || c.has(termFootprint):
		return nil
	case !lonLat && !xy:
		return fmt.Errorf("records: %s has no columns for a place%s\nhint: name them, as in fields: {decimalLongitude: lon, decimalLatitude: lat}, or x and y", s.File, nearest(termLongitude, t.names))
	case p.to.IsLocal() && !xy:
		return fmt.Errorf("records: %s has longitude and latitude, which cannot be brought to the grid's local CRS %q\nhint: give x and y in that CRS", s.File, p.to.Name())
	case !lonLat && !c.has(termSRS) && p.sourceCRS == nil && !p.to.IsLocal():
		return fmt.Errorf("records: %s does not say in which CRS its x and y are\nhint: name it, as in crs: EPSG:27700, or add a column verbatimSRS", s.File)
	}
	return nil
}

// nearest names the column that may have been meant.
func nearest(t term, names []string) string {
	if best := layers.Closest(termNames[t][0], names); best != "" {
		return fmt.Sprintf(" (is it %s?)", best)
	}
	return ""
}
