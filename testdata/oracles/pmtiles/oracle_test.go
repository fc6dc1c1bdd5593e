// Package oracle lets the reference implementation of PMTiles check archives
// that this project wrote. It is a module of its own: what that implementation
// needs is no part of the program.
package oracle

import (
	"bytes"
	"context"
	"fmt"
	"log"
	"os"
	"path/filepath"
	"testing"

	"github.com/protomaps/go-pmtiles/pmtiles"

	"tussock/layers"
	"tussock/tiles"
)

// surface is a pattern in EPSG:3857, its west half alike over whole tiles.
type surface struct {
	lattice    layers.Lattice
	cols, rows int
}

func (s surface) Lattice() layers.Lattice { return s.lattice }
func (s surface) Size() (int, int)        { return s.cols, s.rows }
func (s surface) About() tiles.About {
	return tiles.About{ID: "adder", Name: "Adder", Attribution: "nobody"}
}

func (s surface) ReadBytes(w layers.Window, values, standing []byte) error {
	i := 0
	for row := w.Row; row < w.Bottom(); row++ {
		for col := w.Col; col < w.Right(); col++ {
			values[i], standing[i] = 120, 1
			if col > s.cols/2 {
				values[i] = byte((col*7 ^ row*13) % 201)
			}
			i++
		}
	}
	return nil
}

func newSurface(cols, rows int, cell float64) surface {
	return surface{layers.Lattice{CRS: layers.WebMercator(), Affine: [6]float64{300000, cell, 0, 7500000, 0, -cell}}, cols, rows}
}

// Both an archive whose directory fits into the root and one that needs leaves.
func TestReferenceImplementationAcceptsOurArchives(t *testing.T) {
	for name, c := range map[string]struct {
		source  surface
		maxZoom int
	}{
		"root only": {newSurface(3000, 2000, 60), 0},
		"leaves":    {newSurface(6000, 6000, 60), 14},
	} {
		t.Run(name, func(t *testing.T) { check(t, c.source, c.maxZoom) })
	}
}

func check(t *testing.T, source surface, maxZoom int) {
	folder := t.TempDir()
	o := tiles.Options{Audience: layers.Staff, Formats: []tiles.Format{tiles.Folder, tiles.PMTiles}, MaxZoom: maxZoom}
	if err := tiles.Build(context.Background(), source, o, folder); err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(folder, "adder.pmtiles")
	var said bytes.Buffer
	if err := pmtiles.Verify(log.New(&said, "", 0), path); err != nil {
		t.Fatal(err)
	}
	if bytes.Contains(said.Bytes(), []byte("Invalid")) {
		t.Error(said.String())
	}
	compare(t, path, filepath.Join(folder, "adder"))
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	header, err := pmtiles.DeserializeHeader(data[:pmtiles.HeaderV3LenBytes])
	if err != nil || header.TileType != pmtiles.Png || !header.Clustered || (header.LeafDirectoryLength > 0) != (maxZoom > 0) {
		t.Errorf("header %+v, %v", header, err)
	}
}

// compare reads every tile through the reference implementation's directories
// and holds it against the folder.
func compare(t *testing.T, path, folder string) {
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	header, err := pmtiles.DeserializeHeader(data[:pmtiles.HeaderV3LenBytes])
	if err != nil {
		t.Fatal(err)
	}
	n := 0
	err = pmtiles.IterateEntries(header,
		func(offset, length uint64) ([]byte, error) { return data[offset : offset+length], nil },
		func(e pmtiles.EntryV3) {
			for id := e.TileID; id < e.TileID+uint64(e.RunLength); id++ {
				z, x, y := pmtiles.IDToZxy(id)
				n++
				if n%17 != 0 {
					continue
				}
				want, err := os.ReadFile(filepath.Join(folder, fmt.Sprint(z), fmt.Sprint(x), fmt.Sprint(y)+".png"))
				at := header.TileDataOffset + e.Offset
				if err != nil || !bytes.Equal(want, data[at:at+uint64(e.Length)]) {
					t.Errorf("tile %d/%d/%d differs from the folder's, %v", z, x, y, err)
				}
			}
		})
	files, _ := filepath.Glob(filepath.Join(folder, "*", "*", "*.png"))
	if err != nil || n != len(files) {
		t.Errorf("%d tiles, %d files, %v", n, len(files), err)
	}
}

// The curve of the reference implementation.
func TestIDsMatchTheReferenceImplementation(t *testing.T) {
	for id := uint64(0); id < 200000; id += 37 {
		z, x, y := pmtiles.IDToZxy(id)
		if got := (tiles.Tile{Z: int(z), X: int(x), Y: int(y)}).ID(); got != id {
			t.Fatalf("%d/%d/%d: %d, want %d", z, x, y, got, id)
		}
	}
}
