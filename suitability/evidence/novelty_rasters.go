package evidence

import (
	"encoding/json"
	"fmt"
	"image/color"
	"strings"

	"tussock/layers"
	"tussock/suitability"
)

// NoveltyLook are the colours of the rasters of extrapolation. The floor above
// chooses them.
type NoveltyLook struct {
	Flags      []color.NRGBA             // 8, by the three flags' bits
	Similarity []color.NRGBA             // for −100 to 100 percent
	Variables  func(n int) []color.NRGBA // n colours
}

// NoveltyFacts are how much of a map lies beyond what is known. Shares are of the
// cells that have a suitability by the profile: shown, assessed and not excluded.
type NoveltyFacts struct {
	Cells      uint64            `json:"cells"`
	Knots      KnotsNovelty      `json:"outside_curves"`
	Similarity SimilarityNovelty `json:"unlike_records"`
	Distance   DistanceNovelty   `json:"far_from_records"`
}

// KnotsNovelty is where a measure lies outside its curve's knots, where the curve
// goes on level because nobody drew more of it.
type KnotsNovelty struct {
	Share  *float64           `json:"share"`
	Curves map[string]float64 `json:"share_by_curve"`
}

// SimilarityNovelty is where the ground is unlike that of every accepted record.
type SimilarityNovelty struct {
	NotJudged string             `json:"not_judged,omitempty"` // why
	Cells     int                `json:"record_cells,omitempty"`
	Share     *float64           `json:"share"`
	Variables map[string]float64 `json:"share_by_most_unlike,omitempty"`
}

// DistanceNovelty is what lies farther than the far distance from every accepted
// record.
type DistanceNovelty struct {
	NotJudged string   `json:"not_judged,omitempty"` // why
	FarM      float64  `json:"far_m,omitempty"`
	Records   int      `json:"records,omitempty"`
	Share     *float64 `json:"share"`
}

const noveltyWords = "Where a map goes beyond what it was made from. A flag does not say that the map is wrong there, nor its absence that it is right."

// noveltyVersion changes when the same inputs would give other bytes.
const noveltyVersion = "1"

// NewNovelty plans the rasters of extrapolation of one species' map. Places are
// of its accepted records; for a sensitive species nobody but staff gets anything
// that depends on them.
func NewNovelty(plan *suitability.Plan, species string, places []AcceptedPlace, look NoveltyLook) (*suitability.CompanionPlan, error) {
	if _, task, err := plan.Planned(species); err == nil && task.Withheld {
		return nil, fmt.Errorf("%w: %s, from the %s audience", suitability.ErrWithheld, species, plan.Audience)
	}
	n, err := newNovelty(plan, species, places)
	if err != nil {
		return nil, err
	}
	return plan.Companion(suitability.Companion{
		Kind: "extrapolation", Species: species, Title: "where its map goes beyond what is known", Caution: noveltyWords,
		Recipe: []any{noveltyVersion, n.far, canonicalPlaces(n.places), n.unlike, n.distant}, Rasters: n.rasters(look),
		Fill: func(w layers.Window, cells [][]uint8) ([]byte, error) {
			note, err := n.fill(w, cells)
			if err != nil {
				return nil, err
			}
			return json.Marshal(note)
		},
		Facts: n.facts,
	})
}

func (n *noveltyOf) rasters(look NoveltyLook) []suitability.CompanionRaster {
	list := []suitability.CompanionRaster{{Name: "flags", Words: n.flagWords(), Classes: n.flagClasses(look.Flags)}}
	if n.refs == nil {
		return list
	}
	var colours []color.NRGBA
	if look.Variables != nil {
		colours = look.Variables(len(n.names))
	}
	return append(list,
		suitability.CompanionRaster{Name: "similarity", Words: "similarity to the ground of accepted records, percent, −100 standing for all below",
			Unit: "%", Scale: 1, Offset: -100, Palette: look.Similarity},
		suitability.CompanionRaster{Name: "unlike", Words: "the measure that is most unlike", Classes: coded(n.names, colours)})
}

// flagWords say what is judged and what is not.
func (n *noveltyOf) flagWords() string {
	words := "flags of extrapolation: outside a curve's knots"
	for _, f := range []struct{ name, why string }{{"unlike the ground of accepted records", n.unlike}, {"far from accepted records", n.distant}} {
		if f.why == "" {
			words += "; " + f.name
		} else {
			words += fmt.Sprintf("; %s is not judged (%s)", f.name, f.why)
		}
	}
	return words
}

// flagClasses are the combinations that can occur.
func (n *noveltyOf) flagClasses(colours []color.NRGBA) []layers.Class {
	possible := flagKnots
	if n.unlike == "" {
		possible |= flagUnlike
	}
	if n.distant == "" {
		possible |= flagFar
	}
	var list []layers.Class
	for bits := range uint8(1 << noveltyBits) {
		if bits&^possible != 0 {
			continue
		}
		c := layers.Class{Value: int(bits), Name: bitWords(bits)}
		if int(bits) < len(colours) {
			c.Colour = colours[bits]
		}
		list = append(list, c)
	}
	return list
}

func bitWords(bits uint8) string {
	var words []string
	for i, w := range []string{"outside a curve's knots", "unlike the ground of records", "far from records"} {
		if bits&(1<<i) != 0 {
			words = append(words, w)
		}
	}
	if len(words) == 0 {
		return "no flag"
	}
	return strings.Join(words, ", ")
}

// facts sums up the notes: see [suitability.Companion].
func (n *noveltyOf) facts(notes [][]byte) (any, error) {
	all := noveltyNote{Curves: make([]uint64, len(n.curves)), Variables: make([]uint64, len(n.names))}
	for _, raw := range notes {
		var note noveltyNote
		if err := json.Unmarshal(raw, &note); err != nil {
			return nil, fmt.Errorf("evidence: a block's note: %w", err)
		}
		if err := all.join(note); err != nil {
			return nil, err
		}
	}
	share := func(of uint64) *float64 { return partOf(float64(of), float64(all.Cells)) }
	f := NoveltyFacts{Cells: all.Cells, Knots: KnotsNovelty{Share: share(all.flaggedBy(flagKnots)), Curves: map[string]float64{}},
		Similarity: SimilarityNovelty{NotJudged: n.unlike}, Distance: DistanceNovelty{NotJudged: n.distant}}
	for i, c := range n.curves {
		if all.Curves[i] > 0 {
			f.Knots.Curves[c.name] = *share(all.Curves[i])
		}
	}
	if n.unlike == "" {
		f.Similarity.Cells, f.Similarity.Share, f.Similarity.Variables = n.cells, share(all.flaggedBy(flagUnlike)), map[string]float64{}
		for i, name := range n.names {
			if all.Variables[i] > 0 {
				f.Similarity.Variables[name] = *share(all.Variables[i])
			}
		}
	}
	if n.distant == "" {
		f.Distance.FarM, f.Distance.Records, f.Distance.Share = n.far, len(n.places), share(all.flaggedBy(flagFar))
	}
	return f, nil
}
