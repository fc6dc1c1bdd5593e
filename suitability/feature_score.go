package suitability

import (
	"errors"
	"fmt"
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"

	"tussock/layers"
)

// FeatureScore rates single features, such as ponds, by their attributes: each
// attribute is rated from 0 to 1, and the ratings are combined by the rule. An
// attribute that a feature lacks, that is no number where one is needed, or
// whose word nobody has rated, is left out and the weights of the others are
// scaled up, as the pond index of Oldham et al. (2000), Herpetological Journal
// 10:143-155, takes a lower root where a factor is missing. A feature of which
// nothing is known has no score.
type FeatureScore struct {
	Rule       Rule
	Attributes []AttributeRating
}

var _ layers.FeatureScore = FeatureScore{}

// AttributeRating is how one attribute of a feature is rated: by a curve over
// its number, or by a table of words.
type AttributeRating struct {
	Field  string
	Weight float64 // relative to the other attributes
	Curve  Curve
	Words  map[string]float64 // 0 to 1 by the attribute's text; other words are unknown
}

// Score is the combined rating, 0 to 1; NaN where nothing is known.
func (s FeatureScore) Score(attributes map[string]string) float64 {
	R, W := make([]float64, 0, len(s.Attributes)), make([]float64, 0, len(s.Attributes))
	for _, a := range s.Attributes {
		text, written := attributes[a.Field]
		if rating := a.rate(text); written && a.Weight > 0 && !math.IsNaN(rating) {
			R, W = append(R, rating), append(W, a.Weight)
		}
	}
	return s.Rule.fitted(len(R)).combine(R, W)
}

// rate is the rating of an attribute's text; NaN where it says nothing.
func (a AttributeRating) rate(text string) float64 {
	text = strings.TrimSpace(text)
	if a.Words != nil {
		if rating, rated := a.Words[text]; rated {
			return rating
		}
		return math.NaN()
	}
	v, err := strconv.ParseFloat(text, 64)
	if err != nil || math.IsInf(v, 0) {
		return math.NaN()
	}
	return a.Curve.Rate(v)
}

// Fields are the attributes that are looked at, sorted.
func (s FeatureScore) Fields() []string {
	var fields []string
	for _, a := range s.Attributes {
		fields = append(fields, a.Field)
	}
	slices.Sort(fields)
	return slices.Compact(fields)
}

// Key is a canonical text. It keeps the order of the attributes, in which their
// ratings are added up.
func (s FeatureScore) Key() string {
	parts := make([]string, 0, len(s.Attributes))
	for _, a := range s.Attributes {
		parts = append(parts, a.canonical())
	}
	return s.Rule.canonical() + " [" + strings.Join(parts, "; ") + "]"
}

func (a AttributeRating) canonical() string {
	var b strings.Builder
	fmt.Fprintf(&b, "%q %s ", a.Field, exact(a.Weight))
	if a.Words == nil {
		return b.String() + a.Curve.canonical()
	}
	b.WriteString("words")
	for _, word := range slices.Sorted(maps.Keys(a.Words)) {
		fmt.Fprintf(&b, " %q %s", word, exact(a.Words[word]))
	}
	return b.String()
}

// Validate lists what is wrong with the score, each a *[FieldError] with its
// place below path.
func (s FeatureScore) Validate(path string) []error {
	if len(s.Attributes) == 0 {
		return []error{fieldError(path+".attributes", "no attribute is rated")}
	}
	var errs []error
	seen := map[string]bool{}
	total := 0.0
	for _, a := range s.Attributes {
		at := path + ".attributes." + a.Field
		errs = append(errs, a.check(at)...)
		if seen[a.Field] {
			errs = append(errs, fieldError(at, "%q is rated twice", a.Field))
		}
		seen[a.Field] = true
		total += a.Weight
	}
	if total == 0 {
		errs = append(errs, fieldError(path+".attributes", "every weight is 0"))
	}
	if n := len(s.Rule.Weights); s.Rule.Kind == Ordered && n != len(s.Attributes) {
		return append(errs, fieldError(path+".combine.ordered", "%d ordered weights for %d attributes", n, len(s.Attributes)))
	}
	for _, err := range s.Rule.check(len(s.Attributes)) {
		if field := (*FieldError)(nil); errors.As(err, &field) {
			field.Path = path + ".combine" + strings.TrimPrefix(field.Path, "rule")
		}
		errs = append(errs, err)
	}
	return errs
}

func (a AttributeRating) check(path string) []error {
	errs := checkWeight(a.Weight, path+".weight")
	switch {
	case a.Field == "":
		return append(errs, fieldError(path, "it has no name"))
	case (a.Curve == nil) == (a.Words == nil):
		return append(errs, fieldError(path, "an attribute has either a curve or a table"))
	case a.Words == nil:
		return append(errs, a.Curve.check(path)...)
	case len(a.Words) == 0:
		errs = append(errs, fieldError(path+".table", "no word has a rating"))
	}
	for _, word := range slices.Sorted(maps.Keys(a.Words)) {
		if y := a.Words[word]; !(y >= 0 && y <= 1) {
			errs = append(errs, fieldError(path+".table."+word, "rating %g is not between 0 and 1", y))
		}
	}
	return errs
}
