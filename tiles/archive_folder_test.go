package tiles

import (
	"context"
	"os"
	"path/filepath"
	"testing"
)

func TestSwapFolderTakesThePlaceOfAFullOne(t *testing.T) {
	root := t.TempDir()
	old, complete := filepath.Join(root, "a"), filepath.Join(root, "b")
	for _, f := range []string{old, complete} {
		if err := os.MkdirAll(f, 0o777); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(f, filepath.Base(f)), nil, 0o666); err != nil {
			t.Fatal(err)
		}
	}
	if err := swapFolder(complete, old); err != nil {
		t.Fatal(err)
	}
	if _, err := os.Stat(filepath.Join(root, "a", "b")); err != nil {
		t.Error(err)
	}
	if _, err := os.Stat(filepath.Join(root, "a", "a")); err == nil {
		t.Error("the old file is still there")
	}
}

func TestSpoolStoresEachPictureOnce(t *testing.T) {
	s, err := newSpool(t.TempDir())
	if err != nil {
		t.Fatal(err)
	}
	defer s.close()
	for i, text := range []string{"b", "a", "b", "b"} {
		tile, _ := tileOf(uint64(5 + i)) // zoom 2
		if err := s.keep(picture{tile, []byte(text)}); err != nil {
			t.Fatal(err)
		}
	}
	if err := s.keep(picture{Tile{}, []byte("a")}); err != nil { // zoom 0, kept last
		t.Fatal(err)
	}
	if err := s.keep(picture{Tile{2, 0, 0}, []byte("c")}); err == nil {
		t.Error("a tile out of order was kept")
	}
	var got string
	err = s.each(context.Background(), func(e entry) error {
		got += e.tile.String() + string(e.data) + string(rune('0'+e.content)) + " "
		if e.first {
			got += "! "
		}
		return nil
	})
	if want := "0/0/0a0 ! 2/0/0b1 ! 2/1/0a0 2/1/1b1 2/0/1b1 "; err != nil || got != want {
		t.Errorf("%q, %v; want %q", got, err, want)
	}
}
