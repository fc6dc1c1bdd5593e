package layers

import (
	"os"
	"path/filepath"
	"testing"
)

func TestHashSource(t *testing.T) {
	folder := t.TempDir()
	raster := filepath.Join(folder, "cover.tif")
	write := func(name, text string) {
		t.Helper()
		if err := os.WriteFile(filepath.Join(folder, name), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	sum := func(source string, wantStored bool) string {
		t.Helper()
		sum, stored, err := HashSource(source)
		if err != nil || stored != wantStored {
			t.Fatalf("%s: stored %v, %v", source, stored, err)
		}
		return sum
	}
	write("cover.tif", "cells")
	before := sum(raster, true)
	if sum(raster, true) != before {
		t.Error("the same content has two hashes")
	}
	write("neighbour.tif", "not ours")
	if sum(raster, true) != before {
		t.Error("a neighbour that GDAL does not read changes the hash")
	}
	write("cover.tif.aux.xml", "names")
	named := sum(raster, true)
	if named == before {
		t.Error("names beside the raster do not change the hash")
	}
	write("cover.tif", "cellz")
	if sum(raster, true) == named {
		t.Error("another content has the same hash")
	}
	if sum(folder, true) == before {
		t.Error("a folder hashes like one of its files")
	}
	database := sum("PG:dbname=land", false)
	if database == sum("PG:dbname=water", false) {
		t.Error("two databases have one hash")
	}
}
