package project

import "tussock/suitability"

// featureScore is how a feature is rated by its attributes.
type featureScore struct {
	at
	Combine    combination              `yaml:"combine" doc:"how the attributes' ratings combine; geometric where nothing is said"`
	Attributes ordered[attributeRating] `yaml:"attributes" need:"yes" doc:"rating of each attribute; one that a feature lacks is left out"`
}

// attributeRating is a curve over an attribute's number, or a table of its words.
type attributeRating struct {
	at
	Weight *float64         `yaml:"weight" is:"[0,1]" doc:"the weights of a score's attributes sum to 1; all the same where nothing is said"`
	Curve  []knot           `yaml:"curve" few:"2" doc:"[number, rating] points, rising in number; straight between, level beyond"`
	Table  ordered[float64] `yaml:"table" is:"[0,1]" doc:"rating by word, 0 to 1; words that are left out are unknown"`
}

// model is the score as the model takes it.
func (s *featureScore) model() suitability.FeatureScore {
	score := suitability.FeatureScore{Rule: s.Combine.Rule}
	for _, a := range s.Attributes {
		rated := suitability.AttributeRating{Field: a.Name, Weight: weightOf(a.Value.Weight), Curve: curveOf(a.Value.Curve)}
		for _, row := range a.Value.Table {
			if rated.Words == nil {
				rated.Words = map[string]float64{}
			}
			rated.Words[row.Name] = row.Value
		}
		score.Attributes = append(score.Attributes, rated)
	}
	return score
}

// checkScore tests what only a score and a fade have.
func (t *term) checkScore(a at) {
	fields := suitability.Fade{Curve: curveOf(t.Fade)}.Validate("fade")
	if a.has("score") && t.Score.doc != nil {
		t.Score.checkForms()
		t.Score.checkWeights()
		fields = append(fields, t.Score.model().Validate("score")...)
	}
	a.checkFields(fields)
}

// checkForms asks for one way to rate each attribute.
func (s *featureScore) checkForms() {
	for i := range s.Attributes {
		a := &s.Attributes[i].Value
		if a.doc == nil {
			continue
		}
		switch curve, table := a.has("curve"), a.has("table"); {
		case curve && table:
			a.doc.problem(a.path, "keep one", "`curve` and `table` exclude each other")
		case !curve && !table:
			a.doc.need(a.path, "curve", "write curve: [[number, rating], …], or table: {word: rating}", "an attribute needs `curve` or `table`")
		}
	}
}

// checkWeights wants all weights or none, and a sum of 1.
func (s *featureScore) checkWeights() {
	stated, sum := 0, 0.0
	for _, a := range s.Attributes {
		if a.Value.Weight != nil {
			stated, sum = stated+1, sum+*a.Value.Weight
		}
	}
	path := join(s.path, "attributes")
	switch {
	case stated == 0 || s.doc.spoken(path):
	case stated < len(s.Attributes):
		s.doc.problem(path, "give every attribute a weight, or none", "%d of %d attributes have a weight", stated, len(s.Attributes))
	case !sumsToOne(sum):
		s.doc.problem(path, "", "weights sum to %.6g, not 1", sum)
	}
}

func sumsToOne(sum float64) bool { return sum > 1-1e-6 && sum < 1+1e-6 }

func curveOf(knots []knot) suitability.Curve {
	if knots == nil {
		return nil
	}
	curve := make(suitability.Curve, len(knots))
	for i, k := range knots {
		curve[i] = suitability.Knot{X: k[0], Y: k[1]}
	}
	return curve
}
