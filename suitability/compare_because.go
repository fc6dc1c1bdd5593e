package suitability

import (
	"fmt"
	"strings"
)

// because says in one sentence why two versions differ, and claims no more than
// the items tell.
func because(changed []Part, unrecorded []string, same bool) string {
	var causes []string
	for _, p := range changed {
		if p.Cells {
			causes = append(causes, p.Words())
		}
	}
	text := ""
	switch {
	case len(causes) == 0 && len(unrecorded) > 0:
		return "Not recorded: " + strings.Join(unrecorded, ", ") + "; what else the maps are made from is the same."
	case len(causes) == 0 && len(changed) > 0:
		return "Nothing changed that shapes cells."
	case len(causes) == 0:
		return "Nothing changed that the items record."
	case same:
		text = fmt.Sprintf("Changed, without an effect on any cell: %s.", strings.Join(causes, "; "))
	case len(causes) == 1 && len(unrecorded) == 0:
		text = fmt.Sprintf("One thing changed: %s.", causes[0])
	case len(causes) == 1:
		text = fmt.Sprintf("Changed: %s.", causes[0])
	default:
		text = fmt.Sprintf("%d things changed at once: %s. The maps cannot tell which of them did how much; change one at a time to know.",
			len(causes), strings.Join(causes, "; "))
	}
	if len(unrecorded) > 0 {
		text += " Not recorded, and perhaps changed as well: " + strings.Join(unrecorded, ", ") + "."
	}
	return text
}
