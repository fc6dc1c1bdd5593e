package records

import (
	"fmt"
	"reflect"
	"slices"
	"testing"
	"time"

	"github.com/paulmach/orb"
	"pgregory.net/rapid"
)

// TestTestsAreInOrder: a place must be known before it is measured with, and a
// date before its week is looked at. The order is part of what is promised.
func TestTestsAreInOrder(t *testing.T) {
	want := []Test{"impossible", "uncertainty", "axes", "centre", "water", "duplicate", "age", "date",
		"generalised", "thinning", "range", "season", "elevation", "scale"}
	if got := Tests(); !slices.Equal(got, want) {
		t.Errorf("%v", got)
	}
}

// anyRecord is a record of a small world, sound or not.
func anyRecord(t *rapid.T, w *world, i int) Record {
	r := Record{
		ID: rapid.SampledFrom([]string{"", fmt.Sprint(i), "twice"}).Draw(t, "id"), CRS: w.grid.CRS,
		Species:  rapid.SampledFrom(append([]string{"Rana strange"}, worldNames...)).Draw(t, "species"),
		Recorder: rapid.SampledFrom([]string{"", "A. Ash", "a. ash", "B. Birch"}).Draw(t, "recorder"),
		Status:   rapid.SampledFrom([]Status{Present, Present, Absent}).Draw(t, "status"),
		Source:   Origin{File: "records.csv", Line: i + 2},
		Point: orb.Point{
			float64(rapid.IntRange(480_000, 530_000).Draw(t, "x")), float64(rapid.IntRange(6_190_000, 6_220_000).Draw(t, "y")),
		},
	}
	if rapid.IntRange(0, 3).Draw(t, "same place") == 0 {
		r.Point = townMiddle
	}
	r.Given = r.Point
	if rapid.Bool().Draw(t, "dated") {
		day := worldToday.AddDate(0, 0, -rapid.IntRange(-400, 20_000).Draw(t, "days"))
		r.Date = Interval{day, day.AddDate(0, 0, rapid.SampledFrom([]int{0, 0, 30, 364}).Draw(t, "span"))}
	}
	if u := rapid.SampledFrom([]float64{0, 5, 71, 707, 50_000}).Draw(t, "uncertainty"); u > 0 {
		r.UncertaintyM = &u
	}
	return r
}

// TestCleanKeepsEverything: what goes in comes out, in its order, each record
// with an outcome of every test; the use is the most careful of the outcomes',
// and the same input gives the same outcomes.
func TestCleanKeepsEverything(t *testing.T) {
	w := newWorld(t, 7)
	rapid.Check(t, func(t *rapid.T) {
		var sets []Set
		var all []Record
		for range rapid.IntRange(0, 3).Draw(t, "sources") {
			var s Set
			for range rapid.IntRange(0, 12).Draw(t, "rows") {
				s.Records = append(s.Records, anyRecord(t, w, len(all)))
				all = append(all, s.Records[len(s.Records)-1])
			}
			s.Rejects = make([]Reject, rapid.IntRange(0, 2).Draw(t, "rejects"))
			sets = append(sets, s)
		}
		rows := 0
		for _, s := range sets {
			rows += s.Rows()
		}
		done, err := Clean(sets, w.checks())
		if err != nil {
			t.Fatal(err)
		}
		if len(done.Records)+len(done.Rejects) != rows {
			t.Fatalf("%d records and %d rejects of %d rows", len(done.Records), len(done.Rejects), rows)
		}
		for i, r := range done.Records {
			checkCleaned(t, all[i], r)
		}
		again, _ := Clean(sets, w.checks())
		if !reflect.DeepEqual(done, again) {
			t.Fatal("cleaned again, the outcomes differ")
		}
	})
}

func checkCleaned(t *rapid.T, was Record, r Cleaned) {
	if was.Source != r.Source || was.Point != r.Point || was.Given != r.Given || was.ID != r.ID {
		t.Fatalf("%v became %v", was, r.Record)
	}
	if (was.UncertaintyM == nil) != (r.UncertaintyM == nil) {
		t.Fatalf("an uncertainty came or went: %v, %v", was.UncertaintyM, r.UncertaintyM)
	}
	worst := Fine
	for i, o := range r.Tests {
		if o.Test != Tests()[i] || o.Use < Fine || o.Use > Held || !o.Flagged && o.Use != Fine || o.Flagged && o.Words == "" {
			t.Fatalf("outcome %d is %+v", i, o)
		}
		worst = max(worst, o.Use)
	}
	if len(r.Tests) != len(Tests()) || r.Use != worst {
		t.Fatalf("use %v of %+v", r.Use, r.Tests)
	}
	if (r.Use != Fine) != (len(r.Reasons()) > 0) {
		t.Fatalf("use %v for %d reasons", r.Use, len(r.Reasons()))
	}
}

// TestCountsAreOfOutcomes: the counts by rule are the outcomes counted again.
func TestCountsAreOfOutcomes(t *testing.T) {
	w := newWorld(t, 3)
	for range 60 {
		w.write(w.sound())
	}
	w.plantAll()
	done, err := Clean([]Set{w.read()}, w.checks())
	if err != nil {
		t.Fatal(err)
	}
	rejected := 0
	for _, c := range done.Counts {
		if c.Rejected {
			rejected += c.Flagged
			continue
		}
		flags, held := 0, 0
		for _, r := range done.Records {
			if o := r.Outcome(Test(c.Rule)); o.Flagged {
				flags++
				if o.Use == Held {
					held++
				}
			}
		}
		if flags != c.Flagged || held != c.Held {
			t.Errorf("%+v, counted %d and %d", c, flags, held)
		}
	}
	if rejected != len(done.Rejects) || rejected != 8 {
		t.Errorf("%d rejected, %d rejects", rejected, len(done.Rejects))
	}
}

// TestDuplicatesKeepTheFirst: brute force over all pairs, by the definition.
func TestDuplicatesKeepTheFirst(t *testing.T) {
	w := newWorld(t, 11)
	t.Log("seed 11")
	var set Set
	for i := range 400 {
		day := worldToday.AddDate(0, 0, -1-w.rng.IntN(3))
		set.Records = append(set.Records, Record{
			ID: fmt.Sprint(i), Species: "Bufo bufo", CRS: w.grid.CRS, Date: Interval{day, day},
			Recorder: worldPeople[w.rng.IntN(2)], Point: orb.Point{500_000 + 400*w.rng.Float64(), 6_206_000 + 400*w.rng.Float64()},
		})
	}
	done, err := Clean([]Set{set}, w.checks())
	if err != nil {
		t.Fatal(err)
	}
	var kept []Record
	for i, r := range set.Records {
		duplicate := slices.ContainsFunc(kept, func(k Record) bool {
			return k.Date == r.Date && k.Recorder == r.Recorder &&
				abs(k.Point[0]-r.Point[0]) <= 25 && abs(k.Point[1]-r.Point[1]) <= 25
		})
		if !duplicate {
			kept = append(kept, r)
		}
		if got := done.Records[i].Outcome(Duplicate).Flagged; got != duplicate {
			t.Errorf("record %d: %v", i, got)
		}
	}
	if len(kept) < 50 || len(kept) > 350 {
		t.Errorf("%d kept: the case shows nothing", len(kept))
	}
}

func abs(v float64) float64 { return max(v, -v) }

func day(text string) time.Time {
	d, err := time.Parse(time.DateOnly, text)
	if err != nil {
		panic(err)
	}
	return d
}
