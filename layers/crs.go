package layers

import (
	"errors"
	"fmt"
	"strings"
	"sync"

	"tussock/layers/internal/gdal"
)

// ErrCRS is wrapped by every error about a coordinate reference system.
var ErrCRS = errors.New("layers: coordinate reference system")

// CRS is a coordinate reference system. Axes always run x, y: easting before
// northing, longitude before latitude, whatever the authority says. The zero
// CRS is "not known".
//
// CRSs may be compared with ==, which compares their texts; Equal compares what
// they mean.
type CRS struct {
	wkt, code, name              string
	projected, geographic, local bool
	unit                         float64 // metres or radians per unit
	ellipsoid                    gdal.Ellipsoid
}

// ParseCRS reads an authority's code ("EPSG:32617"), WKT, PROJJSON or a PROJ
// string. It opens no file and no network connection. A system of heights is
// left out.
func ParseCRS(text string) (CRS, error) {
	s, err := gdal.ParseSRS(strings.TrimSpace(text))
	if err != nil {
		return CRS{}, fmt.Errorf("%w: %w", ErrCRS, err)
	}
	return crsOf(s), nil
}

func plainCRS(s gdal.SRS) CRS {
	return CRS{wkt: s.WKT, name: s.Name, projected: s.Projected, geographic: s.Geographic, local: s.Local, unit: s.Unit, ellipsoid: s.Ellipsoid}
}

func crsOf(s gdal.SRS) CRS {
	c := plainCRS(s)
	if s.Authority == "" || s.Code == "" {
		return c
	}
	return c.registered(s.Authority + ":" + s.Code)
}

// registry remembers what codes stand for.
var registry sync.Map // string → CRS

// registered is the authority's own definition where a source names its code, so
// that one system has one text however it is written: a GeoTIFF, for example,
// knows no ensembles of datums. Where the source's definition is another one, it
// is kept and the code is not believed.
func (c CRS) registered(code string) CRS {
	entry, known := registry.Load(code)
	if !known {
		s, err := gdal.ParseSRS(code)
		own := CRS{}
		if err == nil {
			own = plainCRS(s)
			own.code = code
		}
		entry, _ = registry.LoadOrStore(code, own)
	}
	own := entry.(CRS)
	if same, err := gdal.SameSRS(c.wkt, own.wkt); own.IsZero() || err != nil || !same {
		return c
	}
	return own
}

func mustParse(code string) func() CRS {
	return sync.OnceValue(func() CRS {
		c, err := ParseCRS(code)
		if err != nil {
			panic(err) // libgdal without its own tables
		}
		return c
	})
}

var (
	wgs84       = mustParse("EPSG:4326")
	webMercator = mustParse("EPSG:3857")
)

// WGS84 is longitude and latitude in degrees on WGS 84 (EPSG:4326 with the axes
// in x, y order).
func WGS84() CRS { return wgs84() }

// WebMercator is EPSG:3857.
func WebMercator() CRS { return webMercator() }

// WKT is the definition as WKT2:2019 on one line; "" for the zero CRS.
func (c CRS) WKT() string { return c.wkt }

// Code is the authority's code ("EPSG:32617"), or "" where there is none.
func (c CRS) Code() string { return c.code }

// Name is what the definition calls itself.
func (c CRS) Name() string { return c.name }

// IsZero tells whether the CRS is not known.
func (c CRS) IsZero() bool { return c.wkt == "" }

// IsProjected tells whether coordinates are eastings and northings on a map
// projection.
func (c CRS) IsProjected() bool { return c.projected }

// IsGeographic tells whether coordinates are longitudes and latitudes.
func (c CRS) IsGeographic() bool { return c.geographic }

// IsLocal tells whether the CRS has no known place on the Earth (an engineering
// CRS). It transforms to nothing but itself.
func (c CRS) IsLocal() bool { return c.local }

// Metre tells whether coordinates are metres.
func (c CRS) Metre() bool { return (c.projected || c.local) && c.unit == 1 }

// Equal tells whether two CRSs mean the same, axis order and names apart. Local
// systems have nothing but their names to be told apart by, so they are the same
// by name and unit. The zero CRS equals nothing but itself.
func (c CRS) Equal(o CRS) bool {
	switch {
	case c == o || c.code != "" && c.code == o.code:
		return true
	case c.IsZero() || o.IsZero() || c.projected != o.projected || c.geographic != o.geographic || c.local != o.local:
		return false
	case c.local:
		return strings.EqualFold(c.name, o.name) && c.unit == o.unit
	}
	same, err := gdal.SameSRS(c.wkt, o.wkt)
	return err == nil && same
}
