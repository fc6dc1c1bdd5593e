package project

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"tussock/layers"
)

// scaleBound is how far a CRS' point scale may depart from 1 without a word.
const scaleBound = 0.001

// warnScale looks at the grid's rim and middle, where scale has its extremes in
// the usual projections.
func (o *opening) warnScale(g *grid) {
	b := o.grid.Bound(o.grid.Window())
	worst, where := 1.0, orb.Point{}
	for _, fx := range []float64{0, 0.5, 1} {
		for _, fy := range []float64{0, 0.5, 1} {
			p := orb.Point{b.Min[0] + fx*(b.Max[0]-b.Min[0]), b.Min[1] + fy*(b.Max[1]-b.Min[1])}
			k, err := layers.PointScale(o.grid.CRS, p)
			if err == nil && math.Abs(k-1) > math.Abs(worst-1) {
				worst, where = k, p
			}
		}
	}
	if math.Abs(worst-1) <= scaleBound {
		return
	}
	more := "longer"
	if worst < 1 {
		more = "shorter"
	}
	g.doc.warn(g.path, "use a CRS made for this place, such as its UTM zone or national grid",
		"distances on this grid are up to %.2f %% %s than on the ground (point scale %.5f at %.0f %.0f)", 100*math.Abs(worst-1), more, worst, where[0], where[1])
}

// warnLayer notes what GDAL found odd about a source, and a datum that can only
// be shifted roughly (NAD27 without its grids of corrections, for one).
func (o *opening) warnLayer(l *layer, spec layers.LayerSpec) {
	crs, warnings, err := aboutSource(spec, l.isVector())
	if err != nil {
		return // the layer opened; this was only about warnings
	}
	path := join(l.path, "source")
	for _, w := range warnings {
		l.doc.warn(path, "", "%s", w)
	}
	if warning := o.shiftWarning(crs); warning != "" {
		l.doc.warn(path, "check that the layer lies right against another one", "%s is in %q: %s", short(l.Source), crs.Name(), warning)
	}
}

func aboutSource(spec layers.LayerSpec, vector bool) (layers.CRS, []string, error) {
	if vector {
		v, err := layers.OpenVector(spec.Source, spec.OGRLayer)
		if err != nil {
			return layers.CRS{}, nil, err
		}
		return v.Info().CRS, v.Info().Warnings, v.Close()
	}
	r, err := layers.OpenRaster(spec.Source, spec.Band)
	if err != nil {
		return layers.CRS{}, nil, err
	}
	return r.Info().CRS, r.Info().Warnings, r.Close()
}

// shiftWarning looks at the middle of the grid.
func (o *opening) shiftWarning(crs layers.CRS) string {
	t, err := layers.NewTransform(o.grid.CRS, crs)
	if err != nil {
		return ""
	}
	defer t.Close()
	at := o.grid.Bound(o.grid.Window()).Center()
	xs, ys := []float64{at[0]}, []float64{at[1]}
	if err := t.Points(xs, ys); err != nil {
		return ""
	}
	shift, err := layers.DatumShift(crs, o.grid.CRS, orb.Point{xs[0], ys[0]})
	if err != nil {
		return fmt.Sprintf("how its datum is shifted is not known: %v", err)
	}
	return shift.Warning()
}
