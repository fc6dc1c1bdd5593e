package tiles

import (
	"bytes"
	"encoding/binary"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"

	"pgregory.net/rapid"
)

func openArchive(t *testing.T, path string) *Archive {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	a, err := OpenPMTiles(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		t.Fatal(err)
	}
	return a
}

// Every tile of the folder is in the archive with the same bytes, and no other.
func TestPMTilesHoldsTheFolder(t *testing.T) {
	source := mercatorField(averholt, 1500, 900, 45, rolling)
	folder := build(t, source, Options{Formats: allFormats})
	a := openArchive(t, filepath.Join(folder, "adder.pmtiles"))
	least, greatest := a.Zooms()
	found := 0
	for z := least; z <= greatest; z++ {
		at, err := survey(source)
		if err != nil {
			t.Fatal(err)
		}
		for tile := range at.cover(z).within(Tile{}) {
			got, err := a.Tile(tile)
			if err != nil {
				t.Fatal(err)
			}
			want, err := os.ReadFile(filepath.Join(folder, "adder", tile.String()+".png"))
			if err != nil && got != nil || err == nil && !bytes.Equal(got, want) {
				t.Errorf("tile %v differs from the folder's", tile)
			}
			if got != nil {
				found++
			}
		}
	}
	if uint64(found) != a.header.addressed {
		t.Errorf("%d tiles found, %d claimed", found, a.header.addressed)
	}
	text, err := a.Metadata()
	var meta map[string]any
	if err != nil || json.Unmarshal(text, &meta) != nil || meta["name"] != "Adder: suitability" || meta["audience"] != "staff" {
		t.Errorf("metadata %s, %v", text, err)
	}
	if got, err := a.Tile(Tile{3, 0, 0}); got != nil || err != nil {
		t.Errorf("a tile far away: %v, %v", got, err)
	}
}

// The layout that the PMTiles specification, version 3, asks for.
func TestPMTilesHeader(t *testing.T) {
	source := mercatorField(averholt, 1500, 900, 45, rolling)
	folder := build(t, source, Options{Formats: []Format{PMTiles}})
	b, err := os.ReadFile(filepath.Join(folder, "adder.pmtiles"))
	if err != nil {
		t.Fatal(err)
	}
	at := func(i int) uint64 { return binary.LittleEndian.Uint64(b[i:]) }
	if string(b[:8]) != "PMTiles\x03" || at(8) != 127 || at(8)+at(16) > 16384 {
		t.Errorf("magic %q, root at %d for %d", b[:8], at(8), at(16))
	}
	if at(56)+at(64) != uint64(len(b)) {
		t.Errorf("data ends at %d of %d", at(56)+at(64), len(b))
	}
	if b[96] != 1 || b[97] != 2 || b[98] != 1 || b[99] != 2 {
		t.Errorf("clustered %d, compressions %d and %d, type %d", b[96], b[97], b[98], b[99])
	}
	if at(72) < at(80) || at(80) < at(88) {
		t.Errorf("%d addressed, %d entries, %d contents", at(72), at(80), at(88))
	}
	if lon := float64(int32(binary.LittleEndian.Uint32(b[119:]))) / 1e7; math.Abs(lon-3) > 1e-3 {
		t.Errorf("centre at %g degrees east", lon)
	}
}

// Many tiles that look alike are stored once and, along the curve, in one entry.
func TestTilesThatLookAlikeAreStoredOnce(t *testing.T) {
	source := mercatorField(averholt, 4096, 4096, CellSize(12), func(int, int) (byte, byte) { return 120, 1 })
	folder := build(t, source, Options{Formats: []Format{PMTiles}, MinZoom: 12, MaxZoom: 12})
	a := openArchive(t, filepath.Join(folder, "adder.pmtiles"))
	h := a.header
	if h.addressed < 256 || h.contents > 40 || h.entries > h.addressed/2 {
		t.Errorf("%d tiles in %d entries with %d contents", h.addressed, h.entries, h.contents)
	}
}

func TestDirectoriesComeBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(0, 300).Draw(t, "n")
		seed := rapid.Uint64().Draw(t, "seed")
		entries := randomEntries(n, seed)
		packed, err := encodeDirectory(entries)
		if err != nil {
			t.Fatal(err)
		}
		plain, err := unzipped(packed)
		if err != nil {
			t.Fatal(err)
		}
		got, err := decodeDirectory(plain)
		if err != nil || fmt.Sprint(got) != fmt.Sprint(entries) {
			t.Fatalf("%v came back as %v, %v", entries, got, err)
		}
	})
}

func randomEntries(n int, seed uint64) []dirEntry {
	r := rand.New(rand.NewPCG(seed, 1))
	entries := make([]dirEntry, n)
	id, offset := uint64(0), uint64(0)
	for i := range entries {
		id += 1 + r.Uint64N(1000)
		e := dirEntry{id: id, run: 1 + r.Uint32N(3), length: 1 + r.Uint32N(5000), offset: offset}
		if r.IntN(3) == 0 && i > 0 {
			e.offset, e.length = entries[r.IntN(i)].offset, entries[r.IntN(i)].length
		} else {
			offset += uint64(e.length)
		}
		id += uint64(e.run)
		entries[i] = e
	}
	return entries
}

// More entries than a root can hold go to leaves, and each is found again.
func TestLeafDirectories(t *testing.T) {
	entries := randomEntries(60000, 7)
	root, leaves, err := directories(entries, pmtilesRootEnd-pmtilesHeaderSize)
	if err != nil || len(root) > pmtilesRootEnd-pmtilesHeaderSize || len(leaves) == 0 {
		t.Fatalf("root of %d bytes, leaves of %d, %v", len(root), len(leaves), err)
	}
	h := pmtilesHeader{internalCompression: compressionGzip, tileCompression: compressionNone, tileType: tileTypePNG, maxZoom: 20}
	const data = 1 << 30
	h.place(len(root), 0, len(leaves), data)
	file := append(append(h.encode(), root...), leaves...)
	a, err := OpenPMTiles(bytes.NewReader(file), int64(len(file))+data)
	if err != nil {
		t.Fatal(err)
	}
	for i := 0; i < len(entries); i += 997 {
		want := entries[i]
		top, ok := find(a.root, want.id)
		if !ok || top.run != 0 {
			t.Fatalf("entry %d: root gave %+v", i, top)
		}
		leaf, err := a.leaf(top)
		if err != nil {
			t.Fatal(err)
		}
		if got, ok := find(leaf, want.id+uint64(want.run)-1); !ok || got != want {
			t.Fatalf("entry %d: %+v, want %+v", i, got, want)
		}
	}
}

func TestBrokenArchivesAreRefused(t *testing.T) {
	source := mercatorField(averholt, 300, 300, 100, rolling)
	folder := build(t, source, Options{Formats: []Format{PMTiles}})
	good, err := os.ReadFile(filepath.Join(folder, "adder.pmtiles"))
	if err != nil {
		t.Fatal(err)
	}
	breaks := map[string]func(b []byte) []byte{
		"empty":          func([]byte) []byte { return nil },
		"magic":          func(b []byte) []byte { b[0] = 'Q'; return b },
		"version":        func(b []byte) []byte { b[7] = 2; return b },
		"cut":            func(b []byte) []byte { return b[:len(b)/2] },
		"root length":    func(b []byte) []byte { binary.LittleEndian.PutUint64(b[16:], 1<<60); return b },
		"root overflow":  func(b []byte) []byte { binary.LittleEndian.PutUint64(b[8:], math.MaxUint64); return b },
		"root directory": func(b []byte) []byte { b[130]++; b[140]++; return b },
		"zooms":          func(b []byte) []byte { b[100], b[101] = 9, 3; return b },
	}
	for name, damage := range breaks {
		b := damage(bytes.Clone(good))
		if _, err := OpenPMTiles(bytes.NewReader(b), int64(len(b))); !errors.Is(err, ErrPMTiles) {
			t.Errorf("%s: error %v; want ErrPMTiles", name, err)
		}
	}
	lie := binary.AppendUvarint(nil, 1<<40) // a directory that claims a trillion entries
	if _, err := decodeDirectory(append(lie, 0, 0, 0)); !errors.Is(err, ErrPMTiles) {
		t.Errorf("error %v; want ErrPMTiles", err)
	}
}

func FuzzOpenPMTiles(f *testing.F) {
	h := pmtilesHeader{internalCompression: compressionNone, tileType: tileTypePNG, maxZoom: 3}
	root := []byte{2, 0, 1, 1, 0, 1, 2, 1, 3}
	h.place(len(root), 2, 0, 8)
	f.Add(append(append(h.encode(), root...), "{}pngspngs"...))
	packed, err := encodeDirectory(randomEntries(20, 3))
	if err != nil {
		f.Fatal(err)
	}
	h.internalCompression = compressionGzip
	h.place(len(packed), 0, 0, 100)
	f.Add(append(append(h.encode(), packed...), make([]byte, 100)...))
	f.Fuzz(func(t *testing.T, b []byte) {
		a, err := OpenPMTiles(bytes.NewReader(b), int64(len(b)))
		if err != nil {
			if !errors.Is(err, ErrPMTiles) {
				t.Fatal(err)
			}
			return
		}
		for _, tile := range []Tile{{}, {1, 0, 1}, {3, 7, 7}, {12, 3423, 1763}} {
			if _, err := a.Tile(tile); err != nil && !errors.Is(err, ErrPMTiles) {
				t.Fatal(err)
			}
		}
		if _, err := a.Metadata(); err != nil && !errors.Is(err, ErrPMTiles) {
			t.Fatal(err)
		}
	})
}
