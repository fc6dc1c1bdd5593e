package project

import (
	"time"

	"tussock/suitability"
)

// modelFacts gives the facts to the model's profile; a fact without a source
// of its own has the profile's.
func (p *profile) modelFacts() suitability.Facts {
	f := &p.facts
	facts := suitability.Facts{
		Legal: f.Legal, Why: f.Why, ElevationMax: f.ElevationMax, InWater: f.InWater,
		Movement: f.Movement.model(p), Season: f.Season.model(),
	}
	if f.Hazard.doc != nil {
		level, _ := suitability.ParseHazardLevel(f.Hazard.Level)
		facts.Hazard = suitability.Hazard{Level: level, Text: f.Hazard.Text, Source: orProfile(f.Hazard.Source, p)}
	}
	for _, s := range f.Survey {
		facts.Survey = append(facts.Survey, s.model(p))
	}
	if f.Patch.doc != nil {
		facts.Patch = suitability.Patch{
			Min: number(f.Patch.Min), Gap: number(f.Patch.Gap), Barrier: number(f.Patch.Barrier), Source: orProfile(f.Patch.Source, p),
		}
	}
	for _, l := range f.LookAlikes {
		facts.LookAlikes = append(facts.LookAlikes, suitability.LookAlike{With: l.With, Mark: l.Mark, Source: orProfile(l.Source, p)})
	}
	return facts
}

func (m *movement) model(p *profile) suitability.Movement {
	if m.doc == nil {
		return suitability.Movement{}
	}
	built := suitability.Movement{
		Typical: number(m.Typical), Far: number(m.Far), Max: number(m.Max), Effect: number(m.Effect), Source: orProfile(m.Source, p),
	}
	if h := m.HomeRange; h != nil {
		built.HomeRange = suitability.Spread{Low: number(h.Low), Mode: number(h.Typical), High: number(h.High)}
	}
	return built
}

func (s *season) model() suitability.Season {
	var built suitability.Season
	if s.Active != nil {
		built.Active = s.Active[:]
	}
	for _, month := range s.Best {
		built.Best = append(built.Best, time.Month(month))
	}
	if s.Weeks != nil {
		built.First, built.Last = s.Weeks[0], s.Weeks[1]
	}
	return built
}

func (s *surveyMethod) model(p *profile) suitability.SurveyMethod {
	built := suitability.SurveyMethod{Method: s.Method, When: s.When, Licensed: s.Licensed, Source: orProfile(s.Source, p)}
	built.Pairs, _ = suitability.ParsePairs(s.Pairs)
	if s.P != nil {
		built.P = suitability.Spread{Low: number(s.P.Low), Mode: number(s.P.Mode), High: number(s.P.High)}
	}
	if s.Spacing != nil {
		built.Spacing = *s.Spacing
	}
	return built
}

// number is a number that may have been left out.
func number(v *float64) float64 {
	if v == nil {
		return 0
	}
	return *v
}
