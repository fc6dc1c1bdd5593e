package main

import (
	"slices"

	"tussock/layers"
	"tussock/suitability"
)

// fewRecords is the least number of records, and of their places, that is told
// below staff (common practice, no source: counts under 3 are held back).
const fewRecords = 3

// mayTell says whether records of a species may be spoken of to an audience: how
// many there are, and what tests found. Below staff they may not where the
// species is sensitive: a test of a single record ("in open water") tells its
// place, and a count that has grown since last week tells of a new one.
func mayTell(s suitability.Subject, a layers.Audience) bool {
	return a == layers.Staff || s.Profile.Sensitivity == layers.NotSensitive
}

// tellable are the species whose records may be spoken of, and how many others
// there are: no less where those have no records at all.
func tellable(all []suitability.Subject, a layers.Audience) (told []suitability.Subject, withheld int) {
	for _, s := range all {
		if mayTell(s, a) {
			told = append(told, s)
		}
	}
	return told, len(all) - len(told)
}

// mayTellTotals says whether numbers of records of all species together may be
// told: one that is not told could be had by taking the others away.
func mayTellTotals(all []suitability.Subject, a layers.Audience) bool {
	return !slices.ContainsFunc(all, func(s suitability.Subject) bool { return !mayTell(s, a) })
}
