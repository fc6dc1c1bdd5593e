package layers

import (
	"errors"
	"io"
	"os"
	"path/filepath"
	"testing"
)

func TestPublishReplacesWholeFiles(t *testing.T) {
	path := filepath.Join(t.TempDir(), "a.txt")
	for _, text := range []string{"first", "second"} {
		err := Publish(path, func(w io.Writer) error {
			_, err := io.WriteString(w, text)
			return err
		})
		if err != nil {
			t.Fatal(err)
		}
		got, err := os.ReadFile(path)
		if err != nil || string(got) != text {
			t.Fatalf("read %q, %v; want %q", got, err, text)
		}
	}
	if info, _ := os.Stat(path); info.Mode().Perm()&0o400 == 0 {
		t.Errorf("mode %v is not readable", info.Mode())
	}
	onlyFile(t, path)
}

func TestPublishKeepsTheOldFileOnError(t *testing.T) {
	path := filepath.Join(t.TempDir(), "a.txt")
	if err := os.WriteFile(path, []byte("old"), 0o644); err != nil {
		t.Fatal(err)
	}
	broken := errors.New("broken")
	err := Publish(path, func(w io.Writer) error {
		io.WriteString(w, "half")
		return broken
	})
	if !errors.Is(err, broken) {
		t.Fatalf("error %v; want %v", err, broken)
	}
	if got, _ := os.ReadFile(path); string(got) != "old" {
		t.Errorf("the old file now reads %q", got)
	}
	onlyFile(t, path)
}

func TestPublishFileSeeks(t *testing.T) {
	path := filepath.Join(t.TempDir(), "a.bin")
	err := PublishFile(path, func(f *os.File) error {
		if _, err := f.WriteString("....body"); err != nil {
			return err
		}
		_, err := f.WriteAt([]byte("head"), 0)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	if got, _ := os.ReadFile(path); string(got) != "headbody" {
		t.Errorf("read %q", got)
	}
}

func TestPublishNamesAMissingFolder(t *testing.T) {
	path := filepath.Join(t.TempDir(), "nowhere", "a.txt")
	if err := Publish(path, func(io.Writer) error { return nil }); !errors.Is(err, os.ErrNotExist) {
		t.Errorf("error %v; want one that says the folder does not exist", err)
	}
}

func onlyFile(t *testing.T, path string) {
	t.Helper()
	entries, err := os.ReadDir(filepath.Dir(path))
	if err != nil || len(entries) != 1 {
		t.Errorf("the folder holds %v (%v); want the published file alone", entries, err)
	}
}
