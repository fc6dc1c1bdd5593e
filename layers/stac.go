package layers

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"maps"
	"time"
)

// ErrStac is wrapped by every error about a STAC item that cannot be written.
var ErrStac = errors.New("layers: cannot write this STAC item")

// StacItem describes the files of one surface, as an item of a SpatioTemporal
// Asset Catalog 1.1.0.
type StacItem struct {
	ID          string
	Title       string
	Description string
	Date        time.Time // the reference date of the data
	Licence     string    // an SPDX identifier, or "other"
	Grid        Grid
	Properties  map[string]any // further properties, by name
	Assets      []StacAsset
	Links       []StacLink
}

// StacAsset is one file of an item.
type StacAsset struct {
	Key         string // its name in the item
	Href        string // relative to the item, or a URL
	Title       string
	Description string
	MediaType   string // CogMediaType where empty and Raster is there
	Roles       []string
	Raster      *CogSpec    // what its cells are, for a raster
	Statistics  *Statistics // of its values
	SHA256      string      // of its bytes, as hexadecimal; "" where it is not known
	Size        int64       // bytes, where SHA256 is there
}

// StacLink is a relation of an item to something else.
type StacLink struct {
	Rel   string `json:"rel"`
	Href  string `json:"href"`
	Type  string `json:"type,omitempty"`
	Title string `json:"title,omitempty"`
}

// CogMediaType is the media type of a Cloud Optimized GeoTIFF.
const CogMediaType = "image/tiff; application=geotiff; profile=cloud-optimized"

// The extensions in use.
const (
	stacProjection     = "https://stac-extensions.github.io/projection/v2.0.0/schema.json"
	stacRaster         = "https://stac-extensions.github.io/raster/v2.0.0/schema.json"
	stacClassification = "https://stac-extensions.github.io/classification/v2.0.0/schema.json"
	stacFile           = "https://stac-extensions.github.io/file/v2.1.0/schema.json"
)

// WriteStac writes an item: its footprint and bounding box in longitude and
// latitude (WGS 84), the grid by the projection extension, and every raster
// asset by the raster and classification extensions. Names are in alphabetical
// order, so that equal items give equal bytes. A grid in a local engineering
// CRS has no place on the Earth and so no footprint.
func WriteStac(out io.Writer, item StacItem) error {
	if err := item.check(); err != nil {
		return err
	}
	object, err := item.object()
	if err != nil {
		return err
	}
	encoder := json.NewEncoder(out)
	encoder.SetEscapeHTML(false)
	encoder.SetIndent("", "  ")
	return encoder.Encode(object)
}

func (s StacItem) check() error {
	if s.ID == "" || s.Date.IsZero() || len(s.Assets) == 0 {
		return fmt.Errorf("%w: it needs an id (%q), a date (%s) and assets (%d)", ErrStac, s.ID, s.Date.Format(time.DateOnly), len(s.Assets))
	}
	seen := map[string]bool{}
	for _, a := range s.Assets {
		if a.Key == "" || a.Href == "" || seen[a.Key] {
			return fmt.Errorf("%w: asset %q (%q) has no name or place of its own", ErrStac, a.Key, a.Href)
		}
		seen[a.Key] = true
		if a.Raster != nil {
			if err := a.Raster.check(); err != nil {
				return fmt.Errorf("%w: asset %q: %w", ErrStac, a.Key, err)
			}
		}
	}
	return nil
}

func (s StacItem) object() (map[string]any, error) {
	assets, rasters, classes, sums := map[string]any{}, false, false, false
	for _, a := range s.Assets {
		assets[a.Key] = a.object()
		sums = sums || a.SHA256 != ""
		rasters = rasters || a.Raster != nil
		classes = classes || a.Raster != nil && len(a.Raster.Classes) > 0
	}
	extensions := []string{stacProjection}
	if rasters {
		extensions = append(extensions, stacRaster)
	}
	if classes {
		extensions = append(extensions, stacClassification)
	}
	if sums {
		extensions = append(extensions, stacFile)
	}
	links := s.Links
	if links == nil {
		links = []StacLink{}
	}
	object := map[string]any{
		"type": "Feature", "stac_version": "1.1.0", "stac_extensions": extensions, "id": s.ID,
		"properties": s.properties(), "assets": assets, "links": links, "geometry": nil,
	}
	if s.Grid.CRS.IsLocal() {
		return object, nil
	}
	geometry, box, err := footprint(s.Grid)
	if err != nil {
		return nil, fmt.Errorf("%w: %w", ErrStac, err)
	}
	object["geometry"], object["bbox"] = geometry, box
	return object, nil
}

func (s StacItem) properties() map[string]any {
	p := maps.Clone(s.Properties)
	if p == nil {
		p = map[string]any{}
	}
	p["datetime"] = s.Date.UTC().Format(time.RFC3339)
	setText(p, "title", s.Title)
	setText(p, "description", s.Description)
	setText(p, "license", s.Licence)
	s.addProjection(p)
	return p
}

// addProjection adds the projection extension's fields: shape in rows and
// columns, the transform in row-major order, the box in CRS units.
func (s StacItem) addProjection(p map[string]any) {
	g, b := s.Grid, s.Grid.Bound(s.Grid.Window())
	p["proj:code"] = nil
	if code := g.CRS.Code(); code != "" {
		p["proj:code"] = code
	}
	p["proj:bbox"] = []float64{b.Min[0], b.Min[1], b.Max[0], b.Max[1]}
	p["proj:shape"] = []int{g.Rows, g.Cols}
	p["proj:transform"] = []float64{g.Cell, 0, g.West, 0, -g.Cell, g.North}
	if isWKT2(g.CRS.WKT()) {
		p["proj:wkt2"] = g.CRS.WKT()
	}
}

func setText(p map[string]any, name, text string) {
	if text != "" {
		p[name] = text
	}
}
