package project

import (
	"fmt"
	"strings"
)

// excerptWidth is how much of a long line an excerpt shows, in characters.
const excerptWidth = 100

// excerpt is one line of a file, numbered, with a caret under a column. Tabs
// become spaces so that the caret stands right; of a long line only the part
// around the column is shown.
func excerpt(lines []string, line, column int) string {
	if line < 1 || line > len(lines) {
		return ""
	}
	text := []rune(printable(lines[line-1]))
	at := min(max(column-1, 0), len(text))
	from := 0
	if at > excerptWidth*3/4 {
		from = at - excerptWidth/2
	}
	to := min(from+excerptWidth, len(text))
	before, after := "", ""
	if from > 0 {
		before = "…"
	}
	if to < len(text) {
		after = "…"
	}
	margin := fmt.Sprintf("%5d | ", line)
	return margin + before + string(text[from:to]) + after + "\n" +
		strings.Repeat(" ", 6) + "| " + strings.Repeat(" ", at-from+len([]rune(before))) + "^"
}

// printable keeps a terminal safe from what a file may hold.
func printable(line string) string {
	return strings.Map(func(r rune) rune {
		if r < ' ' || r >= 0x7f && r < 0xa0 {
			return ' '
		}
		return r
	}, line)
}
