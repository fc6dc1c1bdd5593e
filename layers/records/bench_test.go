package records

import (
	"context"
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
