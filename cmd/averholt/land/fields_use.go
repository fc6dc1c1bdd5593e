package land

import (
	"math/rand/v2"
)

// field is what is known of one field when its use is decided.
type field struct {
	cells                  []int
	slope, wet, high, near float64 // means; near is the distance to the river over the plain's half width
	heath                  float64 // mean nearness to a heath, 0 to 1
	soil                   [6]int  // cells by soil
}

func (m *maker) fieldsOf() []field {
	most := int32(-1)
	for _, p := range m.parcel {
		most = max(most, p)
	}
	all := make([]field, most+1)
	toHeath := distances(700, func(i int) bool { return m.zone[i] == heathZone || m.zone[i] == emberZone || m.zone[i] == pitZone })
	for i, p := range m.parcel {
		if p < 0 {
			continue
		}
		f := &all[p]
		f.heath += ramp(600, 30, toHeath[i])
		f.cells = append(f.cells, i)
		f.slope, f.wet, f.high = f.slope+m.slope[i], f.wet+m.wet[i], f.high+m.ground.v[i]
		f.near += m.toBed[i] / m.river.plain(place(i)[1])
		f.soil[m.Soil[i]]++
	}
	for k := range all {
		f := &all[k]
		if n := float64(len(f.cells)); n > 0 {
			f.slope, f.wet, f.high, f.near = f.slope/n, f.wet/n, f.high/n, f.near/n
			f.heath /= n
		}
	}
	return all
}

// useFields decides what grows in every field.
func (m *maker) useFields() {
	rng := stream(m.Seed, "crops")
	region := m.field("farming", 4200, 3)
	wild := m.field("rough corners", 900, 3)
	for _, f := range m.fieldsOf() {
		if len(f.cells) == 0 {
			continue
		}
		i := f.cells[len(f.cells)/2]
		m.all(f.cells, m.use(rng, f, region(i), wild(i)))
	}
}

// use is drawn: the plough takes the level dry loam, grass the clay, the slopes
// and the washland, and the poorest is left rough, goes to scrub or is planted.
func (m *maker) use(rng *rand.Rand, f field, region, wild float64) Cover {
	share := func(s Soil) float64 { return float64(f.soil[s]) / float64(len(f.cells)) }
	good := 0.66 + 0.24*share(Loam) - 0.02*share(Clay) - 0.12*share(Sand) - 0.1*share(Peat) - 0.5*share(Rock)
	good += -3.2*f.slope - 0.75*ramp(0.35, 0.8, f.wet) - 0.75*ramp(1.25, 0.9, f.near) - 0.9*ramp(72, 115, f.high) + 0.3*region
	good += 0.17*rng.NormFloat64() - 0.25*f.heath
	v := rng.Float64()
	switch {
	case v < 0.022 && len(f.cells) < cellsOf(9):
		return BroadleafWood
	case v < 0.03 && len(f.cells) < cellsOf(6) && share(Sand) > 0.5:
		return ConiferClosed
	case v < 0.055+0.22*f.heath || good < 0.02 && wild > -0.1 || wild > 0.62 && v < 0.5:
		return m.left(rng, f)
	case good > 0.46:
		return Arable
	}
	return ImprovedGrass
}

// left is what becomes of a field that nobody works.
func (m *maker) left(rng *rand.Rand, f field) Cover {
	switch v := rng.Float64(); {
	case v < 0.12+0.15*f.heath && f.near > 1.2:
		return Scrub
	case v < 0.4*f.heath:
		return BroadleafWood // birch
	case v < 0.25 && f.wet > 0.6 && f.near < 1.4:
		return FenReedbed
	}
	return RoughGrass
}
