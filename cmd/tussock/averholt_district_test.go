package main

import (
	"os"
	"path/filepath"
	"sync"
	"testing"

	"tussock/cmd/averholt/district"
)

// districts are the invented districts that were made in this run, by seed.
var districts struct {
	sync.Mutex
	root    string
	folders map[uint64]string
}

// averholt is the documented district, made once for all tests that ask. It is
// shared: a test that writes takes [averholtCopy].
func averholt(t testing.TB) string {
	t.Helper()
	return averholtOf(t, districtSeeds[0])
}

// averholtOf is the district of a seed.
func averholtOf(t testing.TB, seed uint64) string {
	t.Helper()
	districts.Lock()
	defer districts.Unlock()
	if folder, made := districts.folders[seed]; made {
		return folder
	}
	if districts.root == "" {
		root, err := os.MkdirTemp("", "averholt")
		if err != nil {
			t.Fatal(err)
		}
		districts.root, districts.folders = root, map[uint64]string{}
	}
	folder, err := os.MkdirTemp(districts.root, "")
	if err == nil {
		err = district.Write(folder, seed)
	}
	if err != nil {
		t.Fatal(err)
	}
	districts.folders[seed] = folder
	return folder
}

// averholtCopy is a copy of the documented district that a test may write to.
func averholtCopy(t testing.TB) string {
	t.Helper()
	folder := filepath.Join(t.TempDir(), "averholt")
	if err := os.CopyFS(folder, os.DirFS(averholt(t))); err != nil {
		t.Fatal(err)
	}
	return folder
}

// tidied takes the districts away once all tests are done.
type tidied struct{ *testing.M }

func (m tidied) Run() int {
	code := m.M.Run()
	if districts.root != "" {
		os.RemoveAll(districts.root)
	}
	return code
}
