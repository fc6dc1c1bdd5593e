package records

import (
	"errors"
	"fmt"
	"regexp"
	"strings"
	"time"
)

// Interval is a span of whole days, both ends included, by the local calendar
// of the record: a date known to the year is an interval of a year. The zero
// Interval is an unknown date.
type Interval struct {
	First, Last time.Time // midnight UTC
}

// Known tells whether there is a date.
func (i Interval) Known() bool { return !i.First.IsZero() }

// Days is how many days the interval spans; 0 where unknown.
func (i Interval) Days() int {
	if !i.Known() {
		return 0
	}
	return int(i.Last.Sub(i.First)/(24*time.Hour)) + 1
}

// String is the ISO 8601 form: a day, or first day/last day.
func (i Interval) String() string {
	if !i.Known() {
		return ""
	}
	if i.First.Equal(i.Last) {
		return i.First.Format(time.DateOnly)
	}
	return i.First.Format(time.DateOnly) + "/" + i.Last.Format(time.DateOnly)
}

var errDate = errors.New("records: not an ISO 8601 date")

var (
	timeForm    = regexp.MustCompile(`^([01]\d|2[0-4])(:?[0-5]\d(:?([0-5]\d|60)([.,]\d+)?)?)?\s?(Z|[+-]\d{2}(:?\d{2})?)?$`)
	slashedDate = regexp.MustCompile(`^(\d{4})/(\d{2})/(\d{2})([ T].*)?$`)
	anyOrder    = regexp.MustCompile(`^\d{1,2}[./-]\d{1,2}[./-]\d{2,4}\b`)
	dayCount    = regexp.MustCompile(`^\d{5}([.,]\d+)?$`)
)

// ParseDate reads an ISO 8601 date as eventDate has it: a year, a month, a day
// (also as year and day of the year), each perhaps with a time, or an interval
// first/last whose end may leave out what it shares with the start. Times say
// nothing here: the day is the one written. Year/month/day, the vector
// libraries' own form, is understood too.
func ParseDate(text string) (Interval, error) {
	text = strings.TrimSpace(text)
	if m := slashedDate.FindStringSubmatch(text); m != nil {
		text = m[1] + "-" + m[2] + "-" + m[3] + m[4]
	}
	first, last, isInterval := strings.Cut(text, "/")
	start, err := parseDay(first)
	if err != nil || !isInterval {
		return start, dateError(text, err)
	}
	end, err := parseDay(completeEnd(first, last))
	if err != nil {
		return Interval{}, dateError(text, err)
	}
	if end.Last.Before(start.First) {
		return Interval{}, fmt.Errorf("%w: %q ends before it begins", errDate, text)
	}
	return Interval{start.First, end.Last}, nil
}

// completeEnd gives an interval's end what it leaves out of its start.
func completeEnd(first, last string) string {
	day, _ := cutTime(strings.TrimSpace(first))
	last = strings.TrimSpace(last)
	if strings.Contains(last, ":") && !strings.ContainsAny(last, "T ") {
		return day + "T" + last
	}
	short, clock := cutTime(last)
	if sharesStart(day, short) {
		short = day[:len(day)-len(short)] + short
	}
	if clock != "" {
		return short + "T" + clock
	}
	return short
}

// sharesStart tells whether an end is a day, or a month and day, of its start's
// own month or year.
func sharesStart(day, short string) bool {
	isMonthDay := len(short) == 5 && short[2] == '-' && len(day) == len("2006-01-02")
	return isMonthDay || len(short) == 2 && len(day) >= len("2006-01")
}

func cutTime(text string) (day, clock string) {
	if at := strings.IndexAny(text, "T "); at >= 0 {
		return text[:at], strings.TrimSpace(text[at+1:])
	}
	return text, ""
}

// midnight tells whether a time of day is 00:00, to the second, or none.
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

// dateShapes are the forms of one date and how far each reaches.
var dateShapes = []struct {
	layout              string
	years, months, days int
}{
	{"2006", 1, 0, 0},
	{"2006-01", 0, 1, 0},
	{"2006-01-02", 0, 0, 1},
	{"20060102", 0, 0, 1},
	{"2006-002", 0, 0, 1},
}

// earliestYear refuses years that start with a zero: slips of the pen.
const earliestYear = 1000

func parseDay(text string) (Interval, error) {
	day, clock := cutTime(strings.TrimSpace(text))
	for _, shape := range dateShapes {
		if len(day) != len(shape.layout) {
			continue
		}
		first, err := time.Parse(shape.layout, day)
		if err != nil || first.Year() < earliestYear {
			continue
		}
		if clock != "" && (shape.days == 0 || !timeForm.MatchString(clock)) {
			return Interval{}, fmt.Errorf("%q is no time of day", clock)
		}
		return Interval{first, first.AddDate(shape.years, shape.months, shape.days-1)}, nil
	}
	return Interval{}, errDate
}

func dateError(text string, err error) error {
	switch {
	case err == nil:
		return nil
	case anyOrder.MatchString(text):
		return fmt.Errorf("%w: in %q day and month could be either way round; write year-month-day", errDate, text)
	case dayCount.MatchString(text):
		return fmt.Errorf("%w: %q looks like a spreadsheet's count of days; format the column as year-month-day", errDate, text)
	case errors.Is(err, errDate):
		return fmt.Errorf("%w: %q; write year-month-day, or first/last", errDate, text)
	}
	return fmt.Errorf("%w: %q: %w", errDate, text, err)
}
