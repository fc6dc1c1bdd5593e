package records

import (
	"slices"
	"strings"
	"unicode"
)

// Result is what one visit says about one species.
type Result uint8

// The results. The zero Result is no result.
const (
	Silent Result = iota // it was not looked for, or nobody says whether it was met
	Blank                // it was looked for and not met
	Found
)

var resultNames = [...]string{"silent", "blank", "found"}

func (r Result) String() string {
	if int(r) < len(resultNames) {
		return resultNames[r]
	}
	return ""
}

// Result is what the visit says about a species, by its scientific name. Groups
// names the higher taxa of a species, such as Amphibia and Anura, which may stand
// in a scope or a find; nil knows none. The genus is known by the name.
//
// Found: it is among the finds. Blank: it is within the scope, by its own name or
// a group's, and not excluded from it, and either it is listed as absent, or
// absences are reported and the scope is not said to be reported in part; where
// absent taxa are listed and it is not among them, the scope must be said to be
// fully reported. Where no scope is stated, only what is listed as absent was
// looked for. A find that may be the species, known to a group of it only, leaves
// the visit silent, and so does a find that cannot be read.
func (v Visit) Result(species string, groups func(species string) []string) Result {
	is := taxaOf(species, groups)
	found := v.found()
	switch {
	case slices.Contains(found, is[0]):
		return Found
	case v.unread || meets(found, is):
		return Silent
	case len(v.Target) == 0:
		return blankIf(meets(taxa(v.Absent), is))
	case !meets(taxa(v.Target), is) || meets(taxa(v.Excluded), is):
		return Silent
	}
	return blankIf(v.absent(is))
}

func blankIf(absent bool) Result {
	if absent {
		return Blank
	}
	return Silent
}

// absent tells whether a species within the scope was not met.
func (v Visit) absent(is []string) bool {
	switch {
	case meets(taxa(v.Absent), is):
		return true
	case v.silent || v.AbsenceReported == nil || !*v.AbsenceReported:
		return false
	case len(v.Absent) > 0:
		return v.FullyReported != nil && *v.FullyReported
	}
	return v.FullyReported == nil || *v.FullyReported
}

// found are the taxa that were met.
func (v Visit) found() []string {
	found := taxa(v.unplaced)
	for _, r := range v.Finds {
		found = append(found, taxon(r.Species))
	}
	return found
}

// meets tells whether two lists of taxa have one in common.
func meets(a, b []string) bool {
	return slices.ContainsFunc(a, func(name string) bool { return slices.Contains(b, name) })
}

// taxaOf are a species' own name, its genus, and its groups.
func taxaOf(species string, groups func(string) []string) []string {
	is := []string{taxon(species)}
	if genus, _, ok := strings.Cut(is[0], " "); ok {
		is = append(is, genus)
	}
	if groups != nil {
		is = append(is, taxa(groups(species))...)
	}
	return is
}

func taxa(names []string) []string {
	list := make([]string, 0, len(names))
	for _, name := range names {
		list = append(list, taxon(name))
	}
	return list
}

// taxon is a name in one form: no author and year (which begin with a capital or
// a bracket, while epithets do not: International Code of Zoological Nomenclature,
// articles 5, 28 and 51), no "sp.", single spaces, lower case.
func taxon(name string) string {
	words := strings.Fields(name)
	for i, word := range words {
		first := []rune(word)[0]
		if i > 0 && (!unicode.IsLower(first) || isOpen(word)) {
			words = words[:i]
			break
		}
	}
	return strings.ToLower(strings.Join(words, " "))
}

// isOpen tells words that say that the species is not known.
func isOpen(word string) bool {
	switch strings.ToLower(strings.TrimSuffix(word, ".")) {
	case "sp", "spp", "species", "agg", "cf", "aff":
		return true
	}
	return false
}
