package records

import (
	"fmt"
	"math"
	"time"
)

const daysPerYear = 365.2425

// yearsOld is how many years lie between an interval's first day and the
// reference date: a record is as old as it may be. One without a date may be of
// any age.
func (c *Checks) yearsOld(date Interval) float64 {
	switch {
	case c.Reference.IsZero():
		return 0
	case !date.Known():
		return math.Inf(1)
	}
	return c.Reference.Sub(date.First).Hours() / 24 / daysPerYear
}

// age flags a record that is too old to say what is there now. Up to 10 years
// are current, and up to 25 recent history, which counts for less where records
// shape a map ([Cleaning.Points]).
func (c *cleaner) age() look {
	return func(_ int, r *Cleaned) (Outcome, error) {
		old := c.yearsOld(r.Date)
		switch {
		case !r.Date.Known() && !c.Reference.IsZero():
			return flagged(History, "it has no date"), nil
		case old > float64(c.Recent):
			return flagged(History, fmt.Sprintf("it is older than %d years", c.Recent)), nil
		case old > float64(c.Current):
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
		if r.Date.Days() != 1 || day.Day() != 1 || r.hasTime() {
			return passed(""), nil
		}
		if day.Month() != time.January {
			return passed("the first of a month: perhaps only the month is known"), nil
		}
		r.Date = Interval{day, day.AddDate(1, 0, -1)}
		return flagged(Fine, fmt.Sprintf("1 January often stands for an unknown day: the whole of %d is taken", day.Year())), nil
	}
}

// hasTime tells whether the row that the record was read from gives a time of
// day other than midnight.
func (r *Record) hasTime() bool {
	for column, cell := range r.Raw {
		switch plain(column) {
		case "eventdate", "date":
			if _, clock := cutTime(cell); clock != "" && !midnight(clock) {
				return true
			}
		case "eventtime":
			if !midnight(cell) {
				return true
			}
		}
	}
	return false
}

// midnight tells whether a time of day is 00:00, to the second.
func midnight(clock string) bool {
	for _, c := range clock {
		if c >= '1' && c <= '9' {
			return false
		}
		if c == 'Z' || c == '+' || c == '-' {
			break
		}
	}
	return true
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
