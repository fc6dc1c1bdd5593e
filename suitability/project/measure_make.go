package project

import (
	"tussock/layers"
	"tussock/suitability"
)

func makeValue(t *term, m making) layers.Measure {
	return layers.Value{Layer: t.Layer, LayerUnit: m.unit}
}

// makeShare gives the classes of a plain list the weight 1.
func makeShare(t *term, _ making) layers.Measure {
	s := layers.Share{Layer: t.Layer, Radius: t.Radius, Barrier: t.Barrier.model()}
	for i, name := range t.Classes.names {
		if s.Weights == nil {
			s.Weights = map[string]float64{}
		}
		s.Weights[string(name)] = 1
		if t.Classes.weighted {
			s.Weights[string(name)] = t.Classes.weights[i]
		}
	}
	return s
}

func makeMean(t *term, m making) layers.Measure {
	kernel, _ := layers.ParseKernel(t.Kernel)
	return layers.Mean{Layer: t.Layer, Radius: t.Radius, Kernel: kernel, LayerUnit: m.unit, Barrier: t.Barrier.model()}
}

func makeDistance(t *term, _ making) layers.Measure {
	d := layers.Distance{Layer: t.Layer, Classes: texts(t.Classes.names), Limit: t.Limit}
	for _, target := range t.To {
		d.Targets = append(d.Targets, target.model())
	}
	return d
}

func makeDensity(t *term, _ making) layers.Measure {
	by, _ := layers.ParseDensityOf(t.By)
	return layers.Density{Layer: t.Layer, Radius: t.Radius, By: by, Field: t.Field, Where: texts(t.Where), Barrier: t.Barrier.model()}
}

func makeEdge(t *term, _ making) layers.Measure {
	return layers.Edge{Layer: t.Layer, A: texts(t.A), B: texts(t.B), Radius: t.Radius}
}

func makeNearbyBest(t *term, _ making) layers.Measure {
	return layers.NearbyBest{Layer: t.Layer, Score: t.Score.model(), Fade: suitability.Fade{Curve: curveOf(t.Fade)}, Barrier: t.Barrier.model()}
}

func makeTerrain(what layers.TerrainKind) func(*term, making) layers.Measure {
	return func(t *term, _ making) layers.Measure { return layers.Terrain{Layer: t.Layer, What: what} }
}

func makeRoadPressure(t *term, _ making) layers.Measure {
	return layers.RoadPressure{Layer: t.Layer, C: t.C, Effect: t.Effect}
}

// makeRecords is made of the records of the profile's own species.
func makeRecords(t *term, m making) layers.Measure {
	return layers.PointKernel{
		Of: m.profile.ID, Points: m.points(m.profile, t.Radius), Radius: t.Radius, Half: t.Half, Effort: t.Effort, TypicalEffort: t.TypicalEffort,
	}
}

func makeSpecies(t *term, m making) layers.Measure {
	near := suitability.NearbySpecies{Radius: t.Radius}
	for _, id := range t.Species {
		near.Others = append(near.Others, m.subject(id))
	}
	return near
}

func texts(words []word) []string {
	var list []string
	for _, w := range words {
		list = append(list, string(w))
	}
	return list
}
