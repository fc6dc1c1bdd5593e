package records

import (
	"context"
	"errors"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"time"

	"github.com/paulmach/orb"
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
	b := batch{set: Set{Notes: t.notes}, to: to, names: t.names, transforms: map[layers.CRS]*layers.Transform{}}
	defer b.close()
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

// batch is rows on their way into a set.
type batch struct {
	set        Set
	to         layers.CRS
	names      []string
	drafts     []draft
	transforms map[layers.CRS]*layers.Transform
}

type draft struct {
	record Record
	row    row
}

func (b *batch) add(p *parser, r row) {
	d := draft{row: r}
	if r.reason == "" {
		var bad *problem
		if d.record, bad = p.record(r); bad != nil {
			d.row.reason, d.row.words = bad.reason, bad.words
		}
	}
	b.drafts = append(b.drafts, d)
}

// flush brings a batch's places to the grid's CRS and files its rows.
func (b *batch) flush() {
	groups := map[layers.CRS][]int{}
	var order []layers.CRS
	for i, d := range b.drafts {
		if d.row.reason != "" {
			continue
		}
		if groups[d.record.CRS] == nil {
			order = append(order, d.record.CRS)
		}
		groups[d.record.CRS] = append(groups[d.record.CRS], i)
	}
	for _, crs := range order {
		b.transform(crs, groups[crs])
	}
	for _, d := range b.drafts {
		if d.row.reason == "" {
			b.set.Records = append(b.set.Records, d.record)
		} else {
			b.set.Rejects = append(b.set.Rejects, d.row.rejected(b.names))
		}
	}
	clear(b.drafts)
	b.drafts = b.drafts[:0]
}

func (b *batch) transform(crs layers.CRS, members []int) {
	xs, ys := make([]float64, len(members)), make([]float64, len(members))
	for i, m := range members {
		xs[i], ys[i] = b.drafts[m].record.Given[0], b.drafts[m].record.Given[1]
	}
	t, err := b.transformOf(crs, b.drafts[members[0]].record.Given)
	if err == nil {
		err = t.Points(xs, ys)
	}
	for i, m := range members {
		d := &b.drafts[m]
		switch {
		case err != nil:
			d.row.reason, d.row.words = NoTransform, fmt.Sprintf("from %s to %s: %v", crs.Name(), b.to.Name(), err)
		case math.IsNaN(xs[i]) || math.IsNaN(ys[i]):
			d.row.reason, d.row.words = OutOfBounds, fmt.Sprintf("%g, %g in %s lies nowhere in %s", d.record.Given[0], d.record.Given[1], crs.Name(), b.to.Name())
		default:
			d.record.Point[0], d.record.Point[1] = xs[i], ys[i]
		}
	}
}

// transformOf opens one transform for each CRS, up to a bound, and notes what a
// change of datum leaves uncertain.
func (b *batch) transformOf(crs layers.CRS, at orb.Point) (*layers.Transform, error) {
	if t, ok := b.transforms[crs]; ok {
		return t, nil
	}
	if len(b.transforms) >= mostCRSs {
		return nil, fmt.Errorf("the source names more than %d CRSs", mostCRSs)
	}
	t, err := layers.NewTransform(crs, b.to)
	if err != nil {
		return nil, err
	}
	b.transforms[crs] = t
	if shift, err := layers.DatumShift(crs, b.to, at); err == nil && shift.Warning() != "" {
		b.set.Notes = append(b.set.Notes, fmt.Sprintf("from %s to %s: %s", crs.Name(), b.to.Name(), shift.Warning()))
	}
	return t, nil
}

func (b *batch) close() {
	for _, t := range b.transforms {
		_ = t.Close()
	}
}
