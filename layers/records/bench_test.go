package records

import (
	"context"
	"fmt"
	"os"
	"testing"
)

// BenchmarkReadTable reads the trees' table of 8 columns, transforms nothing.
func BenchmarkReadTable(b *testing.B) {
	utm := crs(b, "EPSG:32617")
	info, err := os.Stat(beiUTM)
	if err != nil {
		b.Fatal(err)
	}
	b.SetBytes(info.Size())
	b.ReportAllocs()
	for b.Loop() {
		set, err := Read(context.Background(), Source{File: beiUTM}, utm)
		if err != nil || len(set.Records) != beiTrees {
			b.Fatal(err)
		}
	}
}

// BenchmarkClean puts 20,000 records, sound and not, through all tests.
func BenchmarkClean(b *testing.B) {
	w := newWorld(b, 1)
	var set Set
	for i := range 20_000 {
		s := w.sound()
		d, _ := ParseDate(s.date)
		u := 25.0
		set.Records = append(set.Records, Record{
			ID: fmt.Sprint(i), Species: s.name, Date: d, Recorder: s.recorder, CRS: w.grid.CRS, Point: s.at, Given: s.at, UncertaintyM: &u,
		})
	}
	b.ReportAllocs()
	b.ResetTimer()
	for b.Loop() {
		if _, err := Clean([]Set{set}, w.checks()); err != nil {
			b.Fatal(err)
		}
	}
}
