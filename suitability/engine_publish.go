package suitability

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"tussock/layers"
)

// caution is written into every file: what a map cannot say.
const caution = "A desk study: the place looks right, not that the animal is there, and never that it is not. " +
	"It replaces no survey by a qualified, and where the law asks licensed, person; local codes and permits decide."

// spec is a plane of a surface as a raster.
func (j *Job) spec(p Plane, what string) layers.CogSpec {
	s := layers.CogSpec{
		Grid: j.Grid, Cells: j.cellsOf(p), Nodata: ByteNodata, Overviews: layers.Majority,
		Description: fmt.Sprintf("%s: %s", what, planeWords[p]),
		Metadata:    map[string]string{"AUDIENCE": j.Audience.String(), "CAUTION": caution, "PROJECT": j.Project, "REFERENCE_DATE": j.Date},
	}
	switch p {
	case ClassPlane:
		s.Classes = j.Classes.Legend(j.Look.Classes)
	case StandingPlane:
		s.Classes = StandingLegend(j.Look.Standings)
	case CountPlane:
		s.Unit = "species"
	default:
		s.Unit = "1" // a pure number, as UCUM writes it
		s.Overviews = layers.Average
		if s.Cells == layers.CogBytes {
			s.Scale, s.Palette = ByteScale, j.Look.Ramp
		}
	}
	return s
}

var planeWords = [...]string{
	"habitat suitability before the range rule, 0 to 1",
	"suitability within the documented range, 0 to 1",
	"suitability class within the documented range",
	"standing: why a cell shows what it shows",
	"number of species at or above a class",
}

func (j *Job) speciesSpecs(p *Profile, t Task) map[Plane]layers.CogSpec {
	specs := map[Plane]layers.CogSpec{}
	for _, plane := range planesFor(j.Audience) {
		s := j.spec(plane, p.Title())
		s.Metadata["SPECIES"] = p.Scientific
		s.Metadata["PROFILE"] = p.Hash()
		s.Metadata["VERSION"] = t.Key
		if t.MapCell > 1 {
			s.Metadata["GENERALISED_TO_CELLS"] = fmt.Sprint(t.MapCell)
		}
		specs[plane] = s
	}
	return specs
}

// Title is the species' name as people read it.
func (p *Profile) Title() string {
	switch {
	case p.Name != "" && p.Scientific != "" && p.Name != p.Scientific:
		return fmt.Sprintf("%s (%s)", p.Name, p.Scientific)
	case p.Name != "":
		return p.Name
	case p.Scientific != "":
		return p.Scientific
	}
	return p.ID
}

// publication is one surface on its way out: its rasters, the files beside
// them, and the item that lists them.
type publication struct {
	job  *Job
	path func(Plane) string
	base string // the item's path
	item layers.StacItem
}

func (j *Job) publication(id, key, title string, profiles ...*Profile) *publication {
	date, err := time.Parse(time.DateOnly, j.Date)
	if err != nil {
		date = time.Unix(0, 0).UTC() // the project's check insists on a date
	}
	return &publication{
		job: j, base: j.itemPath(id, key),
		path: func(p Plane) string { return j.SurfaceFile(id, key, p) },
		item: layers.StacItem{
			ID: fmt.Sprintf("%s-%s", id, key[:12]), Title: title, Description: caution, Date: date, Licence: j.licence(), Grid: j.Grid,
			Properties: map[string]any{"version": key, "tussock:audience": j.Audience.String(), "tussock:project": j.Project,
				"tussock:inputs": j.inputs(profiles...), "tussock:licences": j.Licences},
		},
	}
}

// licence is the one licence of all inputs, or "other" where they differ.
func (j *Job) licence() string {
	if licences := slices.Compact(slices.Sorted(slices.Values(j.Licences))); len(licences) == 1 {
		return licences[0]
	}
	return "other"
}

// plane publishes one raster with its style and names beside it.
func (u *publication) plane(j *joined, p Plane, spec layers.CogSpec) error {
	path := u.path(p)
	var stats *layers.Statistics
	if s := j.stats[p]; s.Count > 0 && p.Continuous() {
		public := s.public(u.job.Grid)
		stats = &public
	}
	raster := layers.StacAsset{Key: p.String(), Raster: &spec, Statistics: stats, Roles: []string{"data"}, Title: planeWords[p]}
	if err := u.file(path, raster, func(w io.Writer) error { return j.write(p, w) }); err != nil {
		return err
	}
	style, drawn := u.job.style(p, spec)
	if !drawn {
		return u.beside(path, p.String(), spec, stats, nil)
	}
	return u.beside(path, p.String(), spec, stats, &style)
}

// beside publishes what a raster cannot hold itself: the names of its classes,
// and its style where it is drawn.
func (u *publication) beside(path, name string, spec layers.CogSpec, stats *layers.Statistics, style *layers.Style) error {
	names := layers.StacAsset{Key: name + "-names", MediaType: "application/xml", Roles: []string{"metadata"}, Title: "names and statistics of " + name}
	err := u.file(layers.AuxName(path), names, func(w io.Writer) error { return layers.WriteAux(w, spec, stats) })
	if err != nil || style == nil {
		return err
	}
	asset := layers.StacAsset{Key: name + "-style", MediaType: "application/vnd.ogc.sld+xml", Roles: []string{"metadata"}, Title: "style of " + name}
	return u.file(strings.TrimSuffix(path, ".tif")+".sld", asset, func(w io.Writer) error { return layers.WriteSLD(w, *style) })
}

// file publishes a file and lists it in the item, with its checksum.
func (u *publication) file(path string, a layers.StacAsset, write func(io.Writer) error) error {
	if err := os.MkdirAll(filepath.Dir(path), 0o777); err != nil {
		return fmt.Errorf("suitability: %w", err)
	}
	sum, size := sha256.New(), byteCount(0)
	err := layers.Publish(path, func(w io.Writer) error { return write(io.MultiWriter(w, sum, &size)) })
	a.Href, a.SHA256, a.Size = "./"+filepath.Base(path), hex.EncodeToString(sum.Sum(nil)), int64(size)
	u.item.Assets = append(u.item.Assets, a)
	return err
}

// byteCount counts what is written to it.
type byteCount int64

func (n *byteCount) Write(p []byte) (int, error) {
	*n += byteCount(len(p))
	return len(p), nil
}

// finish publishes the item, after everything that it lists.
func (u *publication) finish(properties map[string]any) error {
	for name, value := range properties {
		u.item.Properties[name] = value
	}
	return layers.Publish(u.base, func(w io.Writer) error { return layers.WriteStac(w, u.item) })
}

// style is how a plane is drawn; a plane without colours has none.
func (j *Job) style(p Plane, spec layers.CogSpec) (layers.Style, bool) {
	if len(spec.Classes) > 0 {
		return layers.ClassStyle(p.String(), spec.Description, spec.Classes), spec.Classes[0].Colour.A != 0
	}
	if !p.Continuous() || len(j.Look.Ramp) == 0 {
		return layers.Style{}, false
	}
	style := layers.Style{Name: p.String(), Title: spec.Description, Kind: layers.StyleRamp}
	for i := 0; i < len(j.Look.Ramp); i += 10 {
		value := DecodeByte(uint8(i))
		style.Stops = append(style.Stops, layers.StyleStop{Value: value, Colour: j.Look.Ramp[i], Label: fmt.Sprintf("%.2f", value)})
	}
	return style, true
}

// provenance are the facts of a species that its item carries: among them every
// part of its key, so that two versions can tell in what they differ.
func (j *Job) provenance(s Subject, t Task) map[string]any {
	facts := map[string]any{
		"tussock:species": s.Profile.Scientific, "tussock:profile": s.Profile.Hash(), "tussock:profile_source": s.Profile.Source,
		"tussock:map_cell": t.MapCell, "tussock:engine": engineVersion, "tussock:gdal": layers.GDALVersion(),
		"tussock:recipe": s.Profile.recipeHash(), "tussock:records": s.Profile.recordsHash(), "tussock:range": s.Range.Hash(),
		"tussock:class_breaks": j.Classes, "tussock:values": j.Values.String(), "tussock:look": hashOf(j.Look),
	}
	if models := s.Profile.models(); len(models) > 0 {
		facts["tussock:models"] = models
	}
	return facts
}
