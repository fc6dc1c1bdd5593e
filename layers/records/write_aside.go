package records

import (
	"fmt"
	"strings"
)

// Aside are the rows that are set aside until somebody has looked at them: the
// records that are held, in their order, each as the row that it was with its
// reasons, then the rows that are no records. [WriteRejects] writes them.
func (c *Cleaning) Aside() []Reject {
	var list []Reject
	for _, r := range c.Records {
		if r.Use == Held {
			list = append(list, r.aside())
		}
	}
	return append(list, c.Rejects...)
}

// aside is a held record as a row that is set aside.
func (r *Cleaned) aside() Reject {
	reasons := r.Reasons()
	words := make([]string, len(reasons))
	for i, o := range reasons {
		words[i] = fmt.Sprintf("%s: %s", o.Test, o.Words)
	}
	return Reject{
		Source: r.Source, Reason: Reason(reasons[0].Test), Words: strings.Join(words, "; "),
		Columns: r.Columns, Row: cellsOf(r.Raw, r.Columns),
	}
}
