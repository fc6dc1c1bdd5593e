package project

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"tussock/layers"
)

func (r *reading) checkArea() {
	g := &r.file.Area.Grid
	if g.doc == nil {
		return
	}
	if g.Like != "" {
		r.checkLike(g)
		return
	}
	for _, key := range []string{"crs", "cell"} {
		g.doc.need(g.path, key, "or write `like: layer` to take CRS, cell and extent from a raster layer", "`%s` is missing", key)
	}
	if meant := g.doc.meant[join(g.path, "extent")] || g.doc.meant[join(g.path, "boundary")]; g.has("extent") == g.has("boundary") && !meant {
		g.doc.problemAs(g.path, join(g.path, "extent"), "extent is [xmin, ymin, xmax, ymax]; boundary is a vector source", "the grid needs either `extent` or `boundary`")
	}
	if g.Boundary != "" {
		r.checkExists(g.at, "boundary", g.Boundary)
	}
	crs, ok := g.parseCRS()
	if ok && g.Cell != nil && g.Extent != nil {
		if _, err := layers.NewGrid(crs, g.bound(), *g.Cell); err != nil {
			wrong(g.doc, join(g.path, "extent"), err)
		}
	}
}

// has tells whether a key of a section was written.
func (a at) has(key string) bool { return a.doc != nil && a.doc.present(a.path, key) }

func (r *reading) checkLike(g *grid) {
	for _, key := range []string{"crs", "cell", "extent", "boundary"} {
		if g.has(key) {
			g.doc.keyProblem(join(g.path, key), "keep one of the two", "`like` takes the whole grid from a layer; `%s` cannot be given too", key)
		}
	}
	like := r.file.Layers.find(g.Like)
	switch {
	case like == nil:
		g.doc.problem(join(g.path, "like"), closest(g.Like, r.file.Layers.names()), "there is no layer %q", g.Like)
	case like.isVector():
		g.doc.problem(join(g.path, "like"), "name a raster layer", "layer %q has no cells of its own", g.Like)
	}
}

// parseCRS reads the grid's CRS, which must be flat and in metres.
func (g *grid) parseCRS() (layers.CRS, bool) {
	if g.CRS == "" {
		return layers.CRS{}, false
	}
	path := join(g.path, "crs")
	crs, err := layers.ParseCRS(g.CRS)
	if err != nil {
		message, _ := split(err)
		g.doc.problem(path, crsHint, "%s", message)
		return crs, false
	}
	if problem := flat(crs); problem != "" {
		g.doc.problem(path, g.utmHint(), "%s", problem)
		return crs, false
	}
	return crs, true
}

// flat says what keeps a CRS from carrying a grid, or nothing.
func flat(crs layers.CRS) string {
	switch {
	case crs.IsZero():
		return "the coordinate reference system is not known"
	case crs.IsGeographic():
		return fmt.Sprintf("%q is in degrees; a grid needs a projected CRS in metres", crs.Name())
	case !crs.Metre():
		return fmt.Sprintf("%q is not in metres", crs.Name())
	case !crs.IsProjected() && !crs.IsLocal():
		return fmt.Sprintf("%q is neither projected nor local", crs.Name())
	}
	return ""
}

// utmHint names the UTM zone on WGS 84 of an extent in degrees.
func (g *grid) utmHint() string {
	if g.Extent == nil {
		return "use a national grid or a UTM zone, such as EPSG:32617"
	}
	lon, lat := (g.Extent[0]+g.Extent[2])/2, (g.Extent[1]+g.Extent[3])/2
	if !(math.Abs(lon) < 180 && math.Abs(lat) <= 84) {
		return "use a national grid or a UTM zone, such as EPSG:32617"
	}
	zone := 32600 + int(math.Floor((lon+180)/6)) + 1
	if lat < 0 {
		zone += 100
	}
	return fmt.Sprintf("for this extent UTM would be EPSG:%d, with an extent in metres", zone)
}

func (g *grid) bound() orb.Bound {
	return orb.Bound{Min: orb.Point{g.Extent[0], g.Extent[1]}, Max: orb.Point{g.Extent[2], g.Extent[3]}}
}
