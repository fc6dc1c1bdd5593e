package layers

import (
	"slices"
	"strings"
	"unicode"
)

// Closest is the known word that a mistyped one most likely stands for, or ""
// where none is near. Case, spaces, hyphens and underscores do not count, nor
// does a known word written in part (at least three letters); otherwise one
// slip in three letters is forgiven, a slip being a letter left out, put in,
// replaced, or swapped with its neighbour (Damerau 1964, in the restricted form
// that touches no letter twice). Ties go to the word that comes first.
func Closest(word string, known []string) string {
	folded := foldWord(word)
	if len(folded) == 0 {
		return ""
	}
	best, fewest := "", len(folded)/3+1
	for _, k := range known {
		if slips := editDistance(folded, foldWord(k)); slips < fewest {
			best, fewest = k, slips
		}
	}
	if best == "" {
		best = startsLike(folded, known)
	}
	return best
}

// startsLike is the only known word that the letters begin, or that begins them.
func startsLike(folded []rune, known []string) string {
	if len(folded) < 3 {
		return ""
	}
	found := ""
	for _, k := range known {
		other := foldWord(k)
		short, long := folded, other
		if len(short) > len(long) {
			short, long = long, short
		}
		if len(short) < 3 || !slices.Equal(short, long[:len(short)]) {
			continue
		}
		if found != "" {
			return ""
		}
		found = k
	}
	return found
}

// foldWord is a word as Closest compares it: lower case, letters and digits only.
func foldWord(word string) []rune {
	const longest = 64 // keeps the comparison of hostile keys short
	var folded []rune
	for _, r := range strings.ToLower(word) {
		if !unicode.IsLetter(r) && !unicode.IsDigit(r) {
			continue
		}
		if folded = append(folded, r); len(folded) == longest {
			break
		}
	}
	return folded
}

// editDistance is the least number of slips between two words.
func editDistance(a, b []rune) int {
	older := make([]int, len(b)+1)
	above := make([]int, len(b)+1)
	row := make([]int, len(b)+1)
	for j := range above {
		above[j] = j
	}
	for i := range a {
		row[0] = i + 1
		for j := range b {
			cost := 1
			if a[i] == b[j] {
				cost = 0
			}
			row[j+1] = min(above[j+1]+1, row[j]+1, above[j]+cost)
			if i > 0 && j > 0 && a[i] == b[j-1] && a[i-1] == b[j] {
				row[j+1] = min(row[j+1], older[j-1]+1)
			}
		}
		older, above, row = above, row, older
	}
	return above[len(b)]
}
