package records

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
)

var (
	plainNumber  = regexp.MustCompile(`^[+-]?(\d+\.?\d*|\.\d+)([eE][+-]?\d+)?$`)
	commaNumber  = regexp.MustCompile(`^[+-]?\d+,\d+$`)
	notANumber   = regexp.MustCompile(`(?i)^[+-]?(nan|inf|infinity|1\.#(ind|inf|qnan).*)$`)
	sexagesimal  = regexp.MustCompile(`[°º′″'"]|\d\s*[NSEWnsew]$|^[NSEWnsew]\s*\d|\d\s+\d`)
	unicodeMinus = strings.NewReplacer("\u2212", "-", "\u2013", "-")
)

// problem is why a row is no record.
type problem struct {
	reason Reason
	words  string
}

// parseNumber reads a decimal number, strictly: no hexadecimal, no grouping, no
// unit. With decimalComma a comma stands for the point.
func parseNumber(text string, decimalComma bool) (float64, *problem) {
	if decimalComma && commaNumber.MatchString(text) {
		text = strings.Replace(text, ",", ".", 1)
	}
	if !plainNumber.MatchString(text) {
		return 0, whyNoNumber(text)
	}
	v, err := strconv.ParseFloat(text, 64)
	if err != nil || math.IsInf(v, 0) {
		return 0, &problem{NotFinite, fmt.Sprintf("%s is too large", clip(text))}
	}
	return v, nil
}

func whyNoNumber(text string) *problem {
	shown := clip(text)
	switch {
	case notANumber.MatchString(text):
		return &problem{NotFinite, fmt.Sprintf("%s is not a finite number", shown)}
	case commaNumber.MatchString(text):
		return &problem{BadNumber, fmt.Sprintf("%s has a decimal comma; write %s, or set decimal: \",\"", shown, strings.Replace(text, ",", ".", 1))}
	case plainNumber.MatchString(unicodeMinus.Replace(text)):
		return &problem{BadNumber, fmt.Sprintf("%s has a typographic minus sign; write %s", shown, unicodeMinus.Replace(text))}
	case sexagesimal.MatchString(text):
		return &problem{BadNumber, fmt.Sprintf("%s looks like degrees and minutes; write decimal degrees", shown)}
	}
	return &problem{BadNumber, fmt.Sprintf("%s is no number", shown)}
}

// decimals is how many digits a plain number has behind its point.
func decimals(text string) int {
	text, _, _ = strings.Cut(strings.ToLower(text), "e")
	at := strings.IndexAny(text, ".,")
	if at < 0 {
		return 0
	}
	return len(text) - at - 1
}

// clip quotes a cell for a message, shortened.
func clip(text string) string {
	const most = 60
	if len(text) > most {
		text = strings.ToValidUTF8(text[:most], "") + "…"
	}
	return strconv.Quote(text)
}
