package tiles

import (
	"fmt"
	"image/color"

	"tussock/suitability"
)

// Legend says what the colours and patterns of a map mean, in the order in
// which they are to be read.
type Legend struct {
	Title   string        `json:"title"`
	Heading string        `json:"heading"` // of the classes
	Classes []LegendEntry `json:"classes"` // suitability, the highest first
	Marks   []LegendEntry `json:"marks"`   // patterns that lie over suitability
	Places  []LegendEntry `json:"places"`  // where no suitability is shown
	Clear   string        `json:"clear"`   // what it means where the map has no colour
	Note    string        `json:"note"`
	Credit  string        `json:"credit,omitempty"`

	palette *Palette
}

// LegendEntry is one line of a legend.
type LegendEntry struct {
	Key     string   `json:"key"`
	Words   string   `json:"words"`
	From    *float64 `json:"from,omitempty"` // suitability of a class: from, up to but without to
	To      *float64 `json:"to,omitempty"`
	Colour  string   `json:"colour"`            // #rrggbb, or #rrggbbaa where not opaque
	Ink     string   `json:"ink,omitempty"`     // colour of the pattern
	Pattern string   `json:"pattern,omitempty"` // what the pattern looks like, in words

	standing suitability.Standing
	value    byte
}

// patternWords say what a pattern looks like, for those who read and do not see.
var patternWords = map[suitability.Standing]string{
	suitability.Uncertain: "slanted lines", suitability.Introduced: "plus signs", suitability.Historic: "short dashes",
	suitability.Edge: "fine dots", suitability.Vagrant: "rings", suitability.Excluded: "crossed lines",
	suitability.NotAssessed: "coarse dots", suitability.Outside: "a veil with few dots",
}

// of is the legend of a map on which only some standings occur.
func (l Legend) of(seen seen) Legend {
	keep := func(entries []LegendEntry, valued int) (kept []LegendEntry) {
		for _, e := range entries {
			if seen[e.standing][valued] || !showsValues(e.standing) && seen[e.standing][1] {
				kept = append(kept, e)
			}
		}
		return kept
	}
	l.Marks, l.Places = keep(l.Marks, 1), keep(l.Places, 0)
	if seen[suitability.RangeNotDocumented][1] {
		l.Note = "The range of this species is not documented: habitat is shown wherever it lies. " + l.Note
	}
	return l
}

// Legend is the legend of a palette for a surface, with all that may occur.
func (p *Palette) Legend(about About) Legend {
	l := Legend{Title: about.Name, Heading: p.heading(), Credit: about.Attribution, palette: p,
		Clear: "no colour: beyond the mapped area",
		Note:  "A map of habitat, not of sightings. Absence of records is not evidence of absence."}
	for class := len(p.words) - 1; class >= 0; class-- {
		l.Classes = append(l.Classes, p.classEntry(class))
	}
	sample := p.sampleOf(len(p.words) / 2)
	for _, s := range []suitability.Standing{suitability.Uncertain, suitability.Introduced, suitability.Historic, suitability.Edge} {
		l.Marks = append(l.Marks, p.standingEntry(s, sample))
	}
	for _, s := range []suitability.Standing{suitability.NotAssessed, suitability.Excluded, suitability.Historic,
		suitability.Edge, suitability.Vagrant, suitability.Outside} {
		l.Places = append(l.Places, p.standingEntry(s, nothing))
	}
	return l
}

// heading says what the classes are of: those without limits are numbers.
func (p *Palette) heading() string {
	if len(p.breaks) == 0 {
		return "Number of species"
	}
	return "Habitat suitability"
}

// sampleOf is a value byte in the middle of a class.
func (p *Palette) sampleOf(class int) byte {
	if p.values == Codes {
		return byte(class)
	}
	from, to := p.limits(class)
	return suitability.EncodeByte((from + to) / 2)
}

func (p *Palette) limits(class int) (from, to float64) {
	from, to = 0, 1
	if class > 0 {
		from = p.breaks[class-1]
	}
	if class < len(p.breaks) {
		to = p.breaks[class]
	}
	return from, to
}

func (p *Palette) classEntry(class int) LegendEntry {
	e := LegendEntry{Key: fmt.Sprintf("class %d", class+1), Words: p.words[class],
		standing: suitability.Documented, value: p.sampleOf(class)}
	if len(p.breaks) > 0 {
		from, to := p.limits(class)
		e.From, e.To = &from, &to
	}
	e.Colour = hexOf(p.look(e, false))
	return e
}

func (p *Palette) standingEntry(s suitability.Standing, value byte) LegendEntry {
	e := LegendEntry{Key: s.String(), Words: s.Words(), standing: s, value: value, Pattern: patternWords[s]}
	e.Colour = hexOf(p.look(e, false))
	if e.Pattern != "" {
		e.Ink = hexOf(p.look(e, true))
	}
	return e
}

// look is the ground or ink of an entry.
func (p *Palette) look(e LegendEntry, ink bool) color.NRGBA {
	which := 0
	if ink {
		which = 1
	}
	return p.colours[p.looks[lookOf(e.standing, which, e.value)]]
}

func hexOf(c color.NRGBA) string {
	if c.A != 255 {
		return fmt.Sprintf("#%02x%02x%02x%02x", c.R, c.G, c.B, c.A)
	}
	return fmt.Sprintf("#%02x%02x%02x", c.R, c.G, c.B)
}

// rangeText is a class's limits as printed behind its words.
func (e LegendEntry) rangeText() string {
	if e.From == nil {
		return ""
	}
	return fmt.Sprintf("%.3g–%.3g", *e.From, *e.To)
}
