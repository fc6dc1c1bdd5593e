package life

import (
	"math"
	"slices"

	"tussock/cmd/averholt/land"
)

// Truth is where a species lives.
type Truth struct {
	Species  *Species
	Psi      []float32 // chance that a cell is occupied
	Occupied []bool
}

// truths settles the species, prey before those who eat it.
func (l *Life) truths() []Truth {
	var all []Truth
	prey := newRaster(land.Cols, land.Rows)
	for i := range allSpecies {
		s := &allSpecies[i]
		t := l.settle(s, l.habitat(s.ID, prey))
		if s.ID == "sand_lizard" || s.ID == "common_lizard" || s.ID == "slow_worm" {
			for k, p := range t.Psi {
				prey.at[k] = max(prey.at[k], p)
			}
		}
		all = append(all, t)
	}
	return all
}

// habitat is what the ground offers a species.
func (l *Life) habitat(id string, prey raster) raster {
	switch id {
	case "natterjack":
		return natterjackGround(l.ground)
	case "great_crested_newt":
		return greatCrestedNewtGround(l.ground)
	case "smooth_newt":
		return smoothNewtGround(l.ground)
	case "common_toad":
		return commonToadGround(l.ground)
	case "sand_lizard":
		return sandLizardGround(l.ground)
	case "common_lizard":
		return commonLizardGround(l.ground)
	case "slow_worm":
		return slowWormGround(l.ground)
	case "adder":
		return adderGround(l.ground)
	case "grass_snake":
		return grassSnakeGround(l.ground)
	}
	return smoothSnakeGround(l.ground, prey)
}

// settle turns what the ground offers into ψ = 1 − e^(−a·offer), a being such
// that the species has its share of the district, and draws who lives where: an
// even number that hangs together over the species' scale decides, so that
// occupancy is patchy.
func (l *Life) settle(s *Species, offer raster) Truth {
	in := l.trueRange(s)
	for i := range offer.at {
		if !in(i) || l.ground.d.Cover[i] == land.OpenWater && !s.inWater {
			offer.at[i] = 0
			continue
		}
		offer.at[i] *= float32(math.Exp(s.likeness * float64(l.ground.management.at[i])))
	}
	a := abundance(offer.at, s.share)
	luck := noise(l.Seed, "who lives where: "+s.ID, land.Cols, land.Rows, min(max(s.scale/2, 60), 300)/land.Cell).uniform()
	t := Truth{Species: s, Psi: offer.at, Occupied: make([]bool, len(offer.at))}
	for i, v := range offer.at {
		psi := -math.Expm1(-a * float64(v))
		t.Psi[i] = float32(psi)
		t.Occupied[i] = float64(luck.at[i]) < psi
	}
	return t
}

// fullest is the chance that a species may reach on a twentieth of its ground.
const fullest = 0.9

// abundance finds a so that the mean of 1 − e^(−a·offer) is a share, on every
// eleventh cell; less where the ground would have to be too full for that.
func abundance(offer []float32, share float64) float64 {
	var some []float64
	n := 0
	for i := 0; i < len(offer); i += 11 {
		if n++; offer[i] > 0.001 {
			some = append(some, float64(offer[i]))
		}
	}
	if len(some) == 0 {
		return 0
	}
	slices.Sort(some)
	low, high := 0.0, -math.Log(1-fullest)/some[len(some)*19/20]
	for range 40 {
		a, sum := (low+high)/2, 0.0
		for _, v := range some {
			sum -= math.Expm1(-a * v)
		}
		if sum/float64(n) < share {
			low = a
		} else {
			high = a
		}
	}
	return low
}

// trueRange is where a species could be by its history: the documented range
// without the historic part, a little beyond it here, with a hole there, and
// some of what is uncertain.
func (l *Life) trueRange(s *Species) area {
	documented := l.ground.each(func(i int) float64 {
		known := 0.0
		for _, part := range l.plan[s.ID] {
			switch {
			case part.status == "historic" || !part.where(i):
			case part.status == "uncertain":
				known = max(known, 0.55)
			default:
				known = 1
			}
		}
		return known
	})
	soft, near := documented.blurred(150/land.Cell), documented.blurred(400/land.Cell)
	shift := noise(l.Seed, "true range: "+s.ID, land.Cols, land.Rows, 600/land.Cell)
	return func(i int) bool {
		return near.at[i] > 0.08 && soft.at[i]+0.25*shift.at[i] > 0.5
	}
}
