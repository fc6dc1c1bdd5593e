package land

import (
	"math"
	"testing"

	"github.com/paulmach/orb/planar"

	"tussock/layers"
)

func TestPondsAreLegal(t *testing.T) {
	both(t, func(t *testing.T, d *District) {
		if n := len(d.Ponds); n < 250 || n > 400 {
			t.Errorf("%d ponds", n)
		}
		ids := map[string]bool{}
		for _, p := range d.Ponds {
			if why := faultOf(d, p); why != "" {
				t.Errorf("%s, %s: %s: %+v", p.ID, p.Kind, why, p)
			}
			if ids[p.ID] {
				t.Errorf("two ponds are %s", p.ID)
			}
			ids[p.ID] = true
		}
	})
}

func faultOf(d *District, p Pond) string {
	reason, at, valid := layers.ValidateGeometry(p.Outline)
	cover := d.Cover[d.Index(d.CellOf(p.At))]
	switch {
	case !valid:
		return reason + " at " + pointText(at)
	case math.Abs(planar.Area(p.Outline)-p.AreaM2) > 0.06 || !p.Outline[0].Closed():
		return "its area is not that of its outline"
	case cover == Built:
		return "it lies among houses"
	case p.Permanence != Permanent && p.Permanence != SomeYears && p.Permanence != MostYears:
		return "permanence"
	case p.Fish != NoFish && p.Fish != PossibleFish && p.Fish != PresentFish:
		return "fish"
	case p.Permanence == MostYears && p.Fish != NoFish || p.Fish == PresentFish && p.Permanence != Permanent:
		return "fish where it dries"
	case p.ShadePct < 0 || p.ShadePct > 100 || p.PH < 3.5 || p.PH > 9:
		return "shade or pH"
	}
	return kindFault(p)
}

// kindFault holds a pond against what its kind is meant to be.
func kindFault(p Pond) string {
	switch p.Kind {
	case "garden":
		if p.AreaM2 < 3.9 || p.AreaM2 > 12.1 {
			return "a garden pond has 4 to 12 m²"
		}
	case "heath", "hill":
		if p.PH > 5.7 || p.Fish != NoFish && p.PH < 5 || p.ShadePct > 30 {
			return "a heath pool is acid and open"
		}
	case "pit":
		if p.ShadePct > 10 || p.Fish == PresentFish {
			return "a pit pool is warm and has no fish"
		}
	case "fen", "mere":
		if p.Permanence == MostYears || p.AreaM2 < 300 {
			return "fen waters are large and lasting"
		}
	}
	return ""
}

func TestPondsKeepApart(t *testing.T) {
	both(t, func(t *testing.T, d *District) {
		for i, p := range d.Ponds {
			for _, q := range d.Ponds[:i] {
				if p.Kind == "mere" || q.Kind == "mere" || !p.Outline.Bound().Intersects(q.Outline.Bound()) {
					continue
				}
				for _, v := range q.Outline[0] {
					if planar.PolygonContains(p.Outline, v) {
						t.Errorf("%s and %s overlap", p.ID, q.ID)
						break
					}
				}
			}
		}
	})
}
