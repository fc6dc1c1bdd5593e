package suitability

import (
	"context"
	"testing"

	"tussock/layers"
)

// BenchmarkCompare compares two maps of 1.45 million cells, with and without the
// rasters of what changed; bytes are those of cells.
func BenchmarkCompare(b *testing.B) {
	j := richJob(b, landscapeGrid(b), Bytes, layers.Staff)
	j.Subjects = j.Subjects[:1]
	version := func() *Version {
		list, err := build(b, j).Current(j.Folder)
		if err != nil {
			b.Fatal(err)
		}
		return list[0]
	}
	old := version()
	j.Subjects[0].Profile.Requisites[0].Criteria[2].Rating = Curve{{0, 1}, {150, 0.2}, {300, 0.6}}
	now := version()
	for name, folder := range map[string]string{"counts": "", "rasters": b.TempDir()} {
		b.Run(name, func(b *testing.B) {
			b.SetBytes(int64(j.Grid.Window().Cells()))
			b.ReportAllocs()
			for range b.N {
				if _, err := Compare(context.Background(), old, now, ChangeRasters{folder, aLook(5)}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
