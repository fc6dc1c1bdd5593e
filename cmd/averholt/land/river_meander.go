package land

import (
	"math"

	"github.com/paulmach/orb"
)

// The bed wanders as Howard and Knutson (1984, Water Resour. Res. 20:1659-1667)
// have it: a bend moves outwards by its own curvature, against, and by that of
// the bends upstream, for. Their weights are -1 and 2.5.
const (
	ownWeight      = -1.0
	upstreamWeight = 2.5
	memory         = 0.0085 // how fast the bends upstream are forgotten, per m
	migration      = 520.0  // m² a step: shift = migration · weighted curvature
	meanderSteps   = 540
	formerStep     = 400              // the bed of this step is remembered
	cutoffGap      = 1.5 * riverWidth // where two reaches of a bed meet
)

// wind starts with a line along the valley that is almost straight and lets it
// wander.
func (r *river) wind(seed uint64) {
	rng := stream(seed, "meander")
	for y := -beyond; y <= height+beyond; y += riverSpacing {
		x := r.axis(y) + 60*r.wander.at(y/450, 40.1) + between(rng, -4, 4)
		r.bed = append(r.bed, orb.Point{x, y})
	}
	for step := range meanderSteps {
		if step == formerStep {
			r.former = smoothed(r.bed, 2)
		}
		r.migrate()
		if step%4 == 0 {
			r.cut()
		}
		r.bed = respaced(r.bed, riverSpacing)
	}
	r.bed = smoothed(r.bed, 2)
}

func (r *river) migrate() {
	n := len(r.bed)
	moved := append([]orb.Point(nil), r.bed...)
	up, weight := 0.0, 0.0
	fade := math.Exp(-memory * riverSpacing)
	for i := 1; i < n-1; i++ {
		a, b, c := r.bed[i-1], r.bed[i], r.bed[i+1]
		curve, along := curvature(a, b, c)
		up, weight = up*fade+curve, weight*fade+1
		shift := migration * (ownWeight*curve + upstreamWeight*up/weight)
		shift = clamp(shift, -6, 6)
		dx, dy := shift*along[1], -shift*along[0]
		room := r.room(orb.Point{b[0] + dx, b[1] + dy}, dx)
		pinned := min(1, float64(min(i, n-1-i))/30)
		moved[i] = orb.Point{b[0] + dx*room*pinned, b[1] + dy*room*pinned}
	}
	r.bed = moved
}

// room is 1 in the valley and falls to 0 at its sides for moves outwards.
func (r *river) room(p orb.Point, dx float64) float64 {
	off := r.off(p[0], p[1])
	if off*dx < 0 {
		return 1
	}
	side := r.plain(p[1])
	return ramp(side, 0.55*side, math.Abs(off))
}

// curvature is the turn to the left per metre at b, in coordinates with y
// southwards, and the way ahead as a unit vector.
func curvature(a, b, c orb.Point) (float64, orb.Point) {
	ux, uy, vx, vy := b[0]-a[0], b[1]-a[1], c[0]-b[0], c[1]-b[1]
	lu, lv := math.Hypot(ux, uy), math.Hypot(vx, vy)
	tx, ty := ux+vx, uy+vy
	lt := math.Hypot(tx, ty)
	if lu*lv*lt == 0 {
		return 0, orb.Point{}
	}
	return 2 * (ux*vy - uy*vx) / (lu * lv * lt), orb.Point{tx / lt, ty / lt}
}

// cut joins reaches that have come within a gap.
func (r *river) cut() {
	const near = 8 // points that are neighbours along the bed, not across a neck
	for i := 0; i < len(r.bed); i++ {
		last := min(len(r.bed)-1, i+160)
		for j := last; j > i+near; j-- {
			dx, dy := r.bed[i][0]-r.bed[j][0], r.bed[i][1]-r.bed[j][1]
			if dx*dx+dy*dy < cutoffGap*cutoffGap {
				r.bed = append(r.bed[:i+1], r.bed[j:]...)
				break
			}
		}
	}
}
