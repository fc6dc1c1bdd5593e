package life

import (
	"math"

	"tussock/cmd/averholt/land"
)

// The truth of the reptiles, as that of the amphibians.

// woody and rough are the two sides of the edges that reptiles live along.
var (
	woody = mix{land.BroadleafWood: 1, land.ConiferClosed: 1, land.Scrub: 0.9}
	rough = mix{land.DryHeath: 1, land.WetHeath: 1, land.Bog: 1, land.RoughGrass: 1, land.RockBarren: 0.8, land.ConiferOpen: 0.8, land.RailVerge: 1, land.FenReedbed: 0.5}
)

// warmth is how warm a cell is among cells of its kind, 0 to 1.
func (g *ground) warmth(i int, middle float64) float64 {
	return rising(float64(g.d.HeatLoad[i]), middle, 0.05)
}

func sandLizardGround(g *ground) raster {
	heath := g.share(80, mix{land.DryHeath: 1, land.SandPit: 0.45, land.RockBarren: 0.3, land.Scrub: 0.25, land.ConiferOpen: 0.2, land.RailVerge: 0.3})
	tracks := make([]bool, land.Cols*land.Rows)
	for _, t := range g.d.Tracks {
		g.mark(tracks, t.Path)
	}
	sand, shade := g.away(tracks, land.SandPit), g.share(45, woody)
	disturbed := g.share(150, mix{land.Built: 1, land.Gardens: 0.7})
	soil := [...]float64{0, 1, 0.12, 0.03, 0.08, 0.3}
	return g.each(func(i int) float64 {
		eggs := 1 - (1-0.8*faded(float64(sand.at[i]), 170))*(1-0.35*soil[g.d.Soil[i]])
		return math.Pow(filling(float64(heath.at[i]), 0.4, 2.5), 1.2) * eggs * (0.2 + 0.8*g.warmth(i, 0.55)) * soil[g.d.Soil[i]] *
			math.Exp(-3*float64(shade.at[i])-4*float64(disturbed.at[i]))
	})
}

func commonLizardGround(g *ground) raster {
	cover := g.share(60, mix{land.WetHeath: 1, land.DryHeath: 0.85, land.Bog: 0.9, land.RoughGrass: 0.8, land.RockBarren: 0.65, land.RailVerge: 0.9, land.ConiferOpen: 0.75, land.Scrub: 0.5, land.FenReedbed: 0.45, land.SandPit: 0.3, land.Gardens: 0.06, land.ImprovedGrass: 0.04})
	a, b := g.share(80, rough), g.share(80, woody)
	return g.each(func(i int) float64 {
		edge := 4 * float64(a.at[i]) * float64(b.at[i])
		return filling(float64(cover.at[i]), 0.45, 2.4) * (0.55 + 0.45*math.Sqrt(edge)) * math.Exp(-2*float64(b.at[i]))
	})
}

func slowWormGround(g *ground) raster {
	cover := g.share(60, mix{land.RoughGrass: 1, land.RailVerge: 1, land.Scrub: 0.85, land.Gardens: 0.65, land.DryHeath: 0.6, land.ConiferOpen: 0.5, land.WetHeath: 0.4, land.BroadleafWood: 0.3, land.RockBarren: 0.35, land.SandPit: 0.2, land.FenReedbed: 0.15, land.ImprovedGrass: 0.08})
	wet := g.share(60, mix{land.OpenWater: 1, land.Bog: 0.9, land.FenReedbed: 0.7, land.Built: 0.8})
	return g.each(func(i int) float64 {
		return filling(float64(cover.at[i]), 0.38, 2.2) * (0.35 + 0.65*g.warmth(i, 0.53)) * math.Exp(-3*float64(wet.at[i]))
	})
}

func adderGround(g *ground) raster {
	warm := make([]bool, land.Cols*land.Rows)
	for i, c := range g.d.Cover {
		warm[i] = (c == land.DryHeath || c == land.Scrub) && g.d.HeatLoad[i] > 0.62
	}
	bank := g.away(warm, land.RockBarren, land.RailVerge)
	damp := g.share(380, mix{land.WetHeath: 1, land.RoughGrass: 0.8, land.FenReedbed: 0.7, land.Bog: 0.9, land.ConiferOpen: 0.4, land.DryHeath: 0.25})
	cover := g.share(180, mix{land.DryHeath: 1, land.WetHeath: 1, land.RockBarren: 0.9, land.RoughGrass: 0.7, land.Scrub: 0.75, land.ConiferOpen: 0.7, land.Bog: 0.7, land.RailVerge: 0.8, land.FenReedbed: 0.4, land.BroadleafWood: 0.2})
	disturbed, verge := g.share(150, mix{land.Built: 1, land.Gardens: 0.8}), g.share(40, mix{land.RailVerge: 1})
	return g.each(func(i int) float64 {
		quiet := max(float64(cover.at[i]), float64(verge.at[i]))
		return (0.05 + 0.95*faded(float64(bank.at[i]), 600)) * filling(float64(damp.at[i]), 0.12, 1.5) * filling(quiet, 0.5, 3) *
			math.Exp(-5*float64(disturbed.at[i])) * (1 - 0.3*g.toll(i, 1.3e-4, 90))
	})
}

func grassSnakeGround(g *ground) raster {
	ponds, yards := make([]bool, land.Cols*land.Rows), make([]bool, land.Cols*land.Rows)
	for _, p := range g.d.Ponds {
		g.markPoint(ponds, p.At)
	}
	for _, at := range g.d.Farmyards {
		g.markPoint(yards, at)
	}
	water, heaps := g.away(ponds, land.OpenWater, land.FenReedbed), g.away(yards, land.Gardens, land.FenReedbed)
	prey := g.density(500)
	a := g.share(150, mix{land.RoughGrass: 1, land.WetHeath: 0.9, land.DryHeath: 0.7, land.ImprovedGrass: 0.4, land.Arable: 0.25, land.Gardens: 0.7, land.ConiferOpen: 0.7, land.RailVerge: 1})
	b := g.share(150, mix{land.Scrub: 1, land.BroadleafWood: 0.9, land.FenReedbed: 1, land.OpenWater: 0.8, land.ConiferClosed: 0.5})
	sealed := g.share(60, mix{land.Built: 1})
	return g.each(func(i int) float64 {
		edge := 4 * float64(a.at[i]) * float64(b.at[i])
		food := 0.65*faded(float64(water.at[i]), 420) + 0.35*filling(float64(prey.at[i]), 1.2, 1.4)
		return food * filling(edge+0.25*float64(a.at[i]), 0.3, 1.4) * (0.2 + 0.8*faded(float64(heaps.at[i]), 1500)) *
			math.Exp(-3*float64(sealed.at[i])) * (1 - 0.4*g.toll(i, 1.3e-4, 180))
	})
}

// smoothSnakeGround rests on the true occupancy of its prey.
func smoothSnakeGround(g *ground, prey raster) raster {
	block := g.share(150, mix{land.DryHeath: 1, land.WetHeath: 0.7, land.RockBarren: 0.35, land.Scrub: 0.3, land.ConiferOpen: 0.25, land.RailVerge: 0.2})
	shade, disturbed := g.share(80, woody), g.share(150, mix{land.Built: 1, land.Gardens: 0.7})
	food := prey.blurred(120 / land.Cell)
	return g.each(func(i int) float64 {
		return filling(float64(block.at[i]), 0.6, 5) * (0.3 + 0.7*g.warmth(i, 0.56)) * filling(float64(food.at[i]), 0.3, 2) *
			math.Exp(-2.5*float64(shade.at[i])-4*float64(disturbed.at[i]))
	})
}
