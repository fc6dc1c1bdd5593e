package records

import (
	"fmt"
	"time"
)

// older tells whether an interval began more than so many years before the
// reference date, by the calendar: a record is as old as it may be, and one
// without a date may be of any age. Without a reference date nothing is old.
func older(date Interval, years int, reference time.Time) bool {
	return !reference.IsZero() && (!date.Known() || date.First.AddDate(years, 0, 0).Before(reference))
}

// age flags a record that is too old to say what is there now. Up to 10 years
// are current, and up to 25 recent history, which counts for less where records
// shape a map ([Cleaning.Points]).
func (c *cleaner) age() look {
	return func(_ int, r *Cleaned) (Outcome, error) {
		switch {
		case !r.Date.Known() && !c.Reference.IsZero():
			return flagged(History, "it has no date"), nil
		case older(r.Date, c.Recent, c.Reference):
			return flagged(History, fmt.Sprintf("it is older than %d years", c.Recent)), nil
		case older(r.Date, c.Current, c.Reference):
			return passed(fmt.Sprintf("recent history: older than %d years", c.Current)), nil
		}
		return passed(""), nil
	}
}

// defaultDates makes 1 January the whole year, unless a time of day shows that
// somebody was there: it is what many programs write where only the year is
// known. The first of another month is taken note of and left as it is.
func (c *cleaner) defaultDates() look {
	return func(_ int, r *Cleaned) (Outcome, error) {
		day := r.Date.First
		if r.Date.Days() != 1 || day.Day() != 1 || r.timed {
			return passed(""), nil
		}
		if day.Month() != time.January {
			return passed("the first of a month: perhaps only the month is known"), nil
		}
		r.Date = Interval{day, day.AddDate(1, 0, -1)}
		return flagged(Fine, fmt.Sprintf("1 January often stands for an unknown day: the whole of %d is taken", day.Year())), nil
	}
}

// seasons flags an animal met in a week in which its kind is not met. A date
// that is not known to the day is flagged only if no week of it fits. That an
// animal was not met out of season is no surprise.
func (c *cleaner) seasons() look {
	return func(k int, r *Cleaned) (Outcome, error) {
		known := c.known[k]
		if known == nil || known.InSeason == nil || !r.Date.Known() || r.Status == Absent || touches(r.Date, known.InSeason) {
			return passed(""), nil
		}
		_, week := r.Date.First.ISOWeek()
		return flagged(Held, fmt.Sprintf("%s is in week %d, in which the species is not met", r.Date, week)), nil
	}
}

// touches tells whether a day of an interval falls into a season.
func touches(date Interval, inSeason func(week int) bool) bool {
	day := date.First
	for range min(date.Days(), 366) {
		if _, week := day.ISOWeek(); inSeason(week) {
			return true
		}
		day = day.AddDate(0, 0, 1)
	}
	return false
}
