package records

import (
	"errors"
	"strings"
	"testing"
	"time"
)

// The first group are the examples of eventDate in the Darwin Core Quick
// Reference Guide (TDWG), from memory; the others follow from ISO 8601.
func TestParseDate(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"1963-03-08T14:07-0600", "1963-03-08"},
		{"2009-02-20T08:40Z", "2009-02-20"},
		{"2018-08-29T15:19", "2018-08-29"},
		{"1809-02-12", "1809-02-12"},
		{"1906-06", "1906-06-01/1906-06-30"},
		{"1971", "1971-01-01/1971-12-31"},
		{"2007-03-01T13:00:00Z/2008-05-11T15:30:00Z", "2007-03-01/2008-05-11"},
		{"1900/1909", "1900-01-01/1909-12-31"},
		{"2007-11-13/15", "2007-11-13/2007-11-15"},

		{"2007-11-13/12-02", "2007-11-13/2007-12-02"},
		{"2007-03/04", "2007-03-01/2007-04-30"},
		{"2007-03-01T09:00/11:30", "2007-03-01"},
		{"2024-02", "2024-02-01/2024-02-29"},
		{"2023-366", ""},
		{"2024-366", "2024-12-31"},
		{"20240229", "2024-02-29"},
		{"2024/05/01 00:00:00+00", "2024-05-01"},
		{" 2024-05-01 ", "2024-05-01"},
		{"2023-02-29", ""},
		{"2024-13-01", ""},
		{"0000", ""},
		{"2008/2007", ""},
		{"2024-05-01T25:00", ""},
		{"2024-05T10:00", ""},
		{"", ""},
		{"last May", ""},
		{"1900/09", ""},
	} {
		got, err := ParseDate(c.text)
		if (err != nil) != (c.want == "") || got.String() != c.want {
			t.Errorf("%q: %q, %v; want %q", c.text, got, err, c.want)
		}
		if err != nil && !errors.Is(err, errDate) {
			t.Errorf("%q: %v is not a date's error", c.text, err)
		}
	}
}

func TestParseDateHints(t *testing.T) {
	for text, hint := range map[string]string{
		"12/05/2024": "either way round",
		"3.5.24":     "either way round",
		"45413":      "spreadsheet",
	} {
		if _, err := ParseDate(text); err == nil || !strings.Contains(err.Error(), hint) {
			t.Errorf("%q: %v says nothing of %q", text, err, hint)
		}
	}
}

func TestIntervalDays(t *testing.T) {
	for text, want := range map[string]int{"2024": 366, "2023": 365, "2024-02": 29, "2024-05-01": 1} {
		i, err := ParseDate(text)
		if err != nil || i.Days() != want {
			t.Errorf("%s: %d days, %v; want %d", text, i.Days(), err, want)
		}
	}
	if (Interval{}).Known() || (Interval{}).Days() != 0 {
		t.Error("an unknown date has days")
	}
}

// Law: a day that is written comes back as itself, for every day of two
// centuries and more.
func TestParseDateEveryDay(t *testing.T) {
	for d := time.Date(1899, 1, 1, 0, 0, 0, 0, time.UTC); d.Year() < 2101; d = d.AddDate(0, 0, 1) {
		text := d.Format(time.DateOnly)
		i, err := ParseDate(text)
		if err != nil || !i.First.Equal(d) || !i.Last.Equal(d) || i.String() != text {
			t.Fatalf("%s: %v, %v", text, i, err)
		}
	}
}
