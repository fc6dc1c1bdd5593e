package main

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"flag"
	"io/fs"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
)

var update = flag.Bool("update", false, "rewrite golden files")

func TestMain(m *testing.M) {
	testscript.Main(tidied{m}, map[string]func(){"tussock": main})
}

// program builds the real program once, for tests that start and kill it.
var program = sync.OnceValues(func() (string, error) {
	folder, err := os.MkdirTemp("", "tussock")
	if err != nil {
		return "", err
	}
	path := filepath.Join(folder, "tussock")
	out, err := exec.Command("go", "build", "-o", path, ".").CombinedOutput()
	if err != nil {
		os.Stderr.Write(out)
	}
	return path, err
})

func theProgram(t *testing.T) string {
	t.Helper()
	path, err := program()
	if err != nil {
		t.Fatal(err)
	}
	return path
}

// published hashes every file below a folder by its name; what is still being
// made (names that begin with a dot) is left out.
func published(t *testing.T, folder string) map[string]string {
	t.Helper()
	sums, err := hashes(folder)
	if err != nil {
		t.Fatal(err)
	}
	return sums
}

func hashes(folder string) (map[string]string, error) {
	sums := map[string]string{}
	err := filepath.WalkDir(folder, func(path string, d fs.DirEntry, err error) error {
		switch hidden := err == nil && strings.HasPrefix(d.Name(), ".") && path != folder; {
		case errors.Is(err, fs.ErrNotExist):
			return nil
		case err != nil:
			return err
		case hidden && d.IsDir():
			return filepath.SkipDir
		case hidden || d.IsDir():
			return nil
		}
		raw, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		sum := sha256.Sum256(raw)
		name, err := filepath.Rel(folder, path)
		sums[name] = hex.EncodeToString(sum[:])
		return err
	})
	return sums, err
}

// build runs the whole job of a project into a folder.
func build(t *testing.T, project, out string, more ...string) {
	t.Helper()
	args := append([]string{"build", "--project", project, "--audience", "staff", "--out", out, "--quiet"}, more...)
	if text, err := exec.Command(theProgram(t), args...).CombinedOutput(); err != nil {
		t.Fatalf("tussock %s: %v\n%s", strings.Join(args, " "), err, text)
	}
}

func sameFiles(t *testing.T, what string, got, want map[string]string) {
	t.Helper()
	for _, d := range differences(got, want) {
		t.Errorf("%s: %s", what, d)
	}
}

// differences says in words what sets two folders apart.
func differences(got, want map[string]string) []string {
	var found []string
	for _, name := range slices.Sorted(maps.Keys(want)) {
		switch sum, there := got[name]; {
		case !there:
			found = append(found, name+" is missing")
		case sum != want[name]:
			found = append(found, name+" differs")
		}
	}
	for _, name := range slices.Sorted(maps.Keys(got)) {
		if _, ok := want[name]; !ok {
			found = append(found, name+" should not be there")
		}
	}
	return found
}
