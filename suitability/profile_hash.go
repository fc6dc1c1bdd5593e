package suitability

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"strconv"
	"strings"

	"tussock/layers"
)

// modelVersion changes whenever the same profile would give other numbers.
const modelVersion = "tussock model 1"

// Hash is the SHA-256, in hexadecimal, of a canonical text of everything in the
// profile that could change a cell of any of its maps. Names, groups and
// sources are words only and do not count; the scientific name does, since
// ranges and records are found by it.
func (p *Profile) Hash() string {
	return textHash(p.canonical(keyOf))
}

func textHash(text string) string {
	sum := sha256.Sum256([]byte(text))
	return hex.EncodeToString(sum[:])
}

// canonical is that text, with each measure as key writes it.
func (p *Profile) canonical(key func(layers.Measure) string) string {
	var b strings.Builder
	line := func(parts ...string) {
		for _, part := range parts {
			b.WriteString(strconv.Quote(part) + " ")
		}
		b.WriteByte('\n')
	}
	line(modelVersion)
	line("species", p.ID, p.Scientific, p.Sensitivity.String())
	line("rule", p.Rule.canonical(), "floor", exact(p.Floor))
	line("missing", strconv.Itoa(int(p.Missing.Kind)), exact(p.Missing.Value))
	line("range", exact(p.EdgeM), fmt.Sprint(p.ShowHistoric))
	for _, r := range p.Requisites {
		line("requisite", exact(r.Weight))
		for _, c := range r.Criteria {
			line("criterion", exact(c.Weight), key(c.Measure), canonicalRating(c.Rating))
		}
	}
	for _, m := range p.Multipliers {
		line("multiplier", key(m.Measure), canonicalRating(m.Rating))
	}
	for _, e := range p.Exclusions {
		line("exclusion", key(e.Measure), e.canonical())
	}
	return b.String()
}

func keyOf(m layers.Measure) string {
	if m == nil {
		return ""
	}
	return m.Key()
}

func canonicalRating(r Rating) string {
	if r == nil {
		return ""
	}
	return r.canonical()
}

// exact writes a float so that no two different ones look alike.
func exact(x float64) string { return strconv.FormatFloat(x, 'x', -1, 64) }
