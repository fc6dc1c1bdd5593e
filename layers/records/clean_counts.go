package records

import (
	"maps"
	"slices"
)

// RuleCount is how often a rule spoke: a test, or a reason for which rows are no
// records.
type RuleCount struct {
	Rule     string
	Rejected bool // a reason, not a test
	Flagged  int  // rows that it flagged, or rejected
	Held     int  // records that it would hold by itself
}

func countReasons(rejects []Reject) []RuleCount {
	count := map[Reason]int{}
	for _, r := range rejects {
		count[r.Reason]++
	}
	var counts []RuleCount
	for _, reason := range slices.Sorted(maps.Keys(count)) {
		counts = append(counts, RuleCount{Rule: string(reason), Rejected: true, Flagged: count[reason]})
	}
	return counts
}

func countTests(all []Cleaned) []RuleCount {
	counts := make([]RuleCount, len(tests))
	for i, t := range tests {
		counts[i].Rule = string(t.name)
		for _, r := range all {
			if r.Tests[i].Flagged {
				counts[i].Flagged++
			}
			if r.Tests[i].Use == Held {
				counts[i].Held++
			}
		}
	}
	return counts
}
