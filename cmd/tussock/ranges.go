package main

import (
	"context"
	"fmt"
	"io"
	"math"
	"time"

	"github.com/paulmach/orb"
	"github.com/spf13/cobra"

	"tussock/layers"
	"tussock/layers/records"
	"tussock/suitability"
	"tussock/suitability/project"
)

func (a *app) rangesCommand() *cobra.Command {
	var species []string
	c := &cobra.Command{
		Use:   "ranges",
		Short: "Say how far each species' range reaches: on paper, and by records",
		Long: `For each species: the polygons of the documented range with status, year, scale and
author and their area on the ellipsoid; the area of occupancy (squares of 2 by 2
km that hold a record, with the least and greatest number when the squares begin
elsewhere: 64 origins) and the extent of occurrence (the smallest convex polygon
around the records, on the ellipsoid); and where the records stand in the
documented range. Only records that passed cleaning are used, and of those with a
stated uncertainty only the ones up to ` + fmt.Sprintf("%.0f m", occupancyUncertainty) + `. The figures are local and depend on
how many records there are: they are no measure of threat. Figures from fewer than
` + fmt.Sprint(fewRecords) + ` records are for staff only; so are, of a sensitive species, notes, authors and how
many records there are, and its areas are told in whole km². Writes nothing.
` + exitHelp,
		Example: "  tussock ranges\n  tussock ranges --species adder --audience staff --json",
		Args:    cobra.NoArgs,
		RunE:    func(c *cobra.Command, _ []string) error { return a.ranges(c.Context(), species) },
	}
	a.speciesFlag(c, &species)
	return c
}

// occupancyUncertainty is the greatest uncertainty, in metres, of a record that
// is counted in a square of 2 km: half the square's diagonal (our own choice).
// Presence in such a square is also the finest use of a record that says nothing
// of its uncertainty.
var occupancyUncertainty = records.SquareUncertainty(suitability.OccupancyCell)

type rangeResult struct {
	Species    string `json:"species"`
	Name       string `json:"name"`
	Scientific string `json:"scientific,omitempty"`
	title      string
	Polygons   []polygonResult     `json:"polygons"`
	Records    *rangeRecordsResult `json:"records,omitempty"` // nil where there are none, or too few to be told
	TooFew     bool                `json:"too_few,omitempty"`
}

type polygonResult struct {
	Status string  `json:"status"`
	Km2    float64 `json:"km2"`
	Year   int     `json:"year,omitempty"`
	Scale  float64 `json:"scale,omitempty"` // denominator
	Author string  `json:"author,omitempty"`
	Note   string  `json:"note,omitempty"`
}

type rangeRecordsResult struct {
	Count          int            `json:"count,omitempty"` // 0 where it may not be told, as all that may be left out
	Places         int            `json:"places,omitempty"`
	Occupancy      float64        `json:"area_of_occupancy_km2"`
	OccupancyLeast float64        `json:"area_of_occupancy_least_km2,omitempty"`
	OccupancyMost  float64        `json:"area_of_occupancy_most_km2,omitempty"`
	Occurrence     float64        `json:"extent_of_occurrence_km2"`
	Hull           float64        `json:"hull_km2,omitempty"`
	Standing       map[string]int `json:"standing,omitempty"` // staff only
}

func (a *app) ranges(ctx context.Context, species []string) error {
	audience, err := a.theAudience(layers.Public)
	if err != nil {
		return err
	}
	o, err := a.open(ctx)
	if err != nil {
		return err
	}
	defer o.Close()
	subjects, err := pick(o.Subjects, species)
	if err != nil {
		return err
	}
	cleaning, err := cleanedOf(ctx, o)
	if err != nil {
		return err
	}
	results, withheld := []rangeResult{}, 0
	for _, s := range subjects {
		if audience != layers.Staff && s.Profile.Sensitivity == layers.ExtremeSensitivity {
			withheld++
			continue
		}
		r, err := rangeOf(o, s, cleaning, audience)
		if err != nil {
			return fmt.Errorf("species %s: %w", s.Profile.ID, err)
		}
		results = append(results, r)
	}
	if err := a.say(results, func(w io.Writer) { printRanges(w, o.Date, results) }); err != nil {
		return err
	}
	if withheld > 0 {
		return withheldFrom(audience.String(), withheld)
	}
	return nil
}

// rangeOf measures one species' range and records, as an audience may be told.
func rangeOf(o *project.Opened, s suitability.Subject, c *records.Cleaning, audience layers.Audience) (r rangeResult, err error) {
	r = rangeResult{Species: s.Profile.ID, Name: s.Profile.Name, Scientific: s.Profile.Scientific, title: s.Profile.Title()}
	tell := mayTell(s, audience)
	if r.Polygons, err = polygonsOf(o.Grid.CRS, s.Range.Polygons(), tell); err != nil {
		return r, err
	}
	used := placed(c, project.RecordName(s.Profile))
	if len(used) == 0 {
		r.TooFew = !tell // a first record is not told from none
		return r, nil
	}
	extent, err := suitability.ExtentOf(o.Grid.CRS, used)
	if err != nil {
		return r, err
	}
	if r.TooFew = audience != layers.Staff && extent.Places < fewRecords; r.TooFew {
		return r, nil
	}
	r.Records = extentResult(extent, len(used), tell)
	if audience == layers.Staff {
		r.Records.Standing = map[string]int{}
		for _, p := range used {
			r.Records.Standing[s.Range.At(p).Words()]++
		}
	}
	return r, nil
}

// polygonsOf are a range's polygons. Notes and authors of a sensitive species
// may tell its places in words ("winter banks known", "warden of the heaths").
func polygonsOf(crs layers.CRS, polygons []suitability.RangePolygon, tell bool) ([]polygonResult, error) {
	list := []polygonResult{}
	for _, p := range polygons {
		area, err := layers.GeodesicArea(crs, p.Geometry)
		if err != nil {
			return nil, err
		}
		one := polygonResult{Status: p.Word, Km2: area / 1e6, Year: p.Year, Scale: p.Scale}
		if tell {
			one.Author, one.Note = p.Author, p.Note
		}
		list = append(list, one)
	}
	return list, nil
}

// extentResult is how far records reach. Of a sensitive species the areas are in
// whole km² and without what else is known: an exact area can be held against
// every three of the district's ponds until they fit.
func extentResult(e suitability.RangeExtent, count int, tell bool) *rangeRecordsResult {
	if !tell {
		return &rangeRecordsResult{Occupancy: e.Occupancy(), Occurrence: math.Round(e.Occurrence())}
	}
	least, most := e.OccupancyBetween()
	return &rangeRecordsResult{
		Count: count, Places: e.Places, Occupancy: e.Occupancy(), OccupancyLeast: least, OccupancyMost: most,
		Occurrence: e.Occurrence(), Hull: e.Hull / 1e6,
	}
}

// placed are the places of a species' sound records that can be given to a
// square of 2 km.
func placed(c *records.Cleaning, species string) []orb.Point {
	var places []orb.Point
	for _, r := range c.Records {
		sound := r.Use == records.Fine || r.Use == records.Coarse
		known := r.UncertaintyM == nil || *r.UncertaintyM <= occupancyUncertainty
		if r.Species == species && r.Status == records.Present && sound && known {
			places = append(places, r.Point)
		}
	}
	return places
}

func printRanges(w io.Writer, date time.Time, results []rangeResult) {
	for i, r := range results {
		if i > 0 {
			fmt.Fprintln(w)
		}
		fmt.Fprintln(w, r.title)
		if len(r.Polygons) == 0 {
			fmt.Fprintln(w, "  range    not documented")
		}
		for _, p := range r.Polygons {
			fmt.Fprintf(w, "  range    %-15s %8.1f km²%s\n", p.Status, p.Km2, p.provenance())
			if p.Note != "" {
				fmt.Fprintf(w, "             %s\n", p.Note)
			}
		}
		printExtent(w, r, date)
	}
}

func printExtent(w io.Writer, r rangeResult, date time.Time) {
	switch {
	case r.TooFew:
		fmt.Fprintf(w, "  records  fewer than %d: no figures below the staff audience\n", fewRecords)
		return
	case r.Records == nil:
		fmt.Fprintln(w, "  records  none that passed cleaning and are recent")
		return
	}
	x := r.Records
	if x.Count == 0 {
		fmt.Fprintf(w, "  records  to %s; how many is for staff\n", date.Format(time.DateOnly))
		fmt.Fprintf(w, "  area of occupancy     %.0f km²\n", x.Occupancy)
		fmt.Fprintf(w, "  extent of occurrence  %.0f km²\n", x.Occurrence)
		return
	}
	fmt.Fprintf(w, "  records  %s, at %s, to %s\n", counted(x.Count, "record"), counted(x.Places, "place"), date.Format(time.DateOnly))
	fmt.Fprintf(w, "  area of occupancy     %.0f km² (%.0f to %.0f by where the squares begin)\n", x.Occupancy, x.OccupancyLeast, x.OccupancyMost)
	fmt.Fprintf(w, "  extent of occurrence  %.1f km²\n", x.Occurrence)
	for _, s := range suitability.Standings() {
		if n := x.Standing[s.Words()]; n > 0 {
			fmt.Fprintf(w, "    %-4d %s\n", n, s.Words())
		}
	}
}

// provenance says how old and how coarse a drawn range is, and whose it is.
func (p polygonResult) provenance() string {
	text := ""
	if p.Year > 0 {
		text += fmt.Sprintf("  %d", p.Year)
	}
	if p.Scale > 0 {
		text += fmt.Sprintf("  1:%.0f", p.Scale)
	}
	if p.Author != "" {
		text += "  " + p.Author
	}
	return text
}
