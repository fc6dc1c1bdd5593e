package life

import (
	"math"

	"tussock/cmd/averholt/land"
)

// The truth of the amphibians: how much of what each needs a cell offers, in
// numbers of no unit. All shapes and values are our own invention.

func natterjackGround(g *ground) raster {
	pool := g.pools(600, func(p land.Pond) float64 {
		drying := map[land.Permanence]float64{land.Permanent: 0.1, land.SomeYears: 0.75, land.MostYears: 1}[p.Permanence]
		fish := map[land.Fish]float64{land.NoFish: 1, land.PossibleFish: 0.4, land.PresentFish: 0.02}[p.Fish]
		return drying * fish * bell(math.Log(p.AreaM2), math.Log(700), 1.3) * math.Exp(-p.ShadePct/18) * rising(p.PH, 5.0, 0.35)
	})
	open := g.share(175, mix{land.SandPit: 1, land.DryHeath: 0.75, land.RockBarren: 0.4, land.RoughGrass: 0.3, land.WetHeath: 0.35})
	shade := g.share(70, mix{land.BroadleafWood: 1, land.ConiferClosed: 1, land.Scrub: 0.5, land.Built: 0.8})
	soil := [...]float64{0, 1, 0.35, 0.08, 0.15, 0.4}
	return g.each(func(i int) float64 {
		return float64(pool.at[i]) * filling(float64(open.at[i]), 0.28, 2.2) * soil[g.d.Soil[i]] *
			math.Exp(-4*float64(shade.at[i])) * (1 - 0.5*g.toll(i, 2e-4, 220))
	})
}

func greatCrestedNewtGround(g *ground) raster {
	pool := g.pools(230, func(p land.Pond) float64 {
		drying := map[land.Permanence]float64{land.Permanent: 0.85, land.SomeYears: 1, land.MostYears: 0.12}[p.Permanence]
		fish := map[land.Fish]float64{land.NoFish: 1, land.PossibleFish: 0.55, land.PresentFish: 0.04}[p.Fish]
		return drying * fish * rising(math.Log(p.AreaM2), math.Log(170), 0.4) * (1 - 0.8*rising(p.ShadePct, 78, 6)) * rising(p.PH, 5.6, 0.25)
	})
	land250 := g.share(150, mix{land.BroadleafWood: 1, land.Scrub: 0.9, land.RoughGrass: 1, land.FenReedbed: 0.6, land.RailVerge: 0.7, land.Gardens: 0.35, land.ConiferOpen: 0.3, land.ImprovedGrass: 0.12, land.Arable: 0.03})
	network, sealed := g.density(420), g.share(60, mix{land.Built: 1})
	return g.each(func(i int) float64 {
		return float64(pool.at[i]) * filling(float64(land250.at[i]), 0.22, 1.5) * (0.25 + 0.75*filling(float64(network.at[i]), 1.6, 1.6)) *
			math.Exp(-3*float64(sealed.at[i])) * (1 - 0.5*g.toll(i, 2.5e-4, 200))
	})
}

func smoothNewtGround(g *ground) raster {
	pool := g.pools(190, func(p land.Pond) float64 {
		drying := map[land.Permanence]float64{land.Permanent: 0.85, land.SomeYears: 1, land.MostYears: 0.4}[p.Permanence]
		fish := map[land.Fish]float64{land.NoFish: 1, land.PossibleFish: 0.5, land.PresentFish: 0.15}[p.Fish]
		return drying * fish * bell(math.Log(p.AreaM2), math.Log(150), 2) * (1 - 0.7*rising(p.ShadePct, 80, 7)) * rising(p.PH, 5.2, 0.35)
	})
	damp := g.share(100, mix{land.BroadleafWood: 1, land.Scrub: 0.9, land.RoughGrass: 1, land.Gardens: 0.95, land.FenReedbed: 0.9, land.RailVerge: 0.7, land.ConiferOpen: 0.3, land.ImprovedGrass: 0.25, land.WetHeath: 0.25, land.Arable: 0.06})
	network, sealed := g.density(250), g.share(60, mix{land.Built: 1})
	return g.each(func(i int) float64 {
		return math.Pow(float64(pool.at[i]), 0.8) * filling(float64(damp.at[i]), 0.18, 1.3) * (0.4 + 0.6*filling(float64(network.at[i]), 2, 1.5)) *
			math.Exp(-2.5*float64(sealed.at[i])) * (1 - 0.4*g.toll(i, 2.5e-4, 130))
	})
}

func commonToadGround(g *ground) raster {
	pool := g.pools(800, func(p land.Pond) float64 {
		drying := map[land.Permanence]float64{land.Permanent: 1, land.SomeYears: 0.4, land.MostYears: 0.06}[p.Permanence]
		return 0.8 * drying * rising(math.Log(p.AreaM2), math.Log(350), 0.5) * rising(p.PH, 5.4, 0.3)
	})
	lake := g.away(nil, land.OpenWater)
	wood := g.away(nil, land.BroadleafWood, land.Scrub, land.FenReedbed, land.Gardens)
	rough := g.share(250, mix{land.BroadleafWood: 1, land.Scrub: 1, land.FenReedbed: 0.85, land.RoughGrass: 0.8, land.Gardens: 0.75, land.ConiferOpen: 0.4, land.ConiferClosed: 0.35, land.WetHeath: 0.3, land.ImprovedGrass: 0.3, land.Arable: 0.08})
	soil := [...]float64{0, 0.55, 1, 0.95, 0.75, 0.3}
	sealed := g.share(60, mix{land.Built: 1})
	return g.each(func(i int) float64 {
		water := 1 - (1-float64(pool.at[i]))*(1-0.5*faded(float64(lake.at[i]), 700))
		return water * (0.15 + 0.85*faded(float64(wood.at[i]), 160)) * filling(float64(rough.at[i]), 0.25, 1.2) * soil[g.d.Soil[i]] *
			math.Exp(-2.5*float64(sealed.at[i])) * (1 - 0.6*g.toll(i, 2.9e-4, 450))
	})
}
