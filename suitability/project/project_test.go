package project

import (
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

var update = flag.Bool("update", false, "write the golden files anew")

// golden compares a text with a file of testdata.
func golden(t *testing.T, name, got string) {
	t.Helper()
	if *update {
		if err := os.WriteFile(name, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	want, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	if got != string(want) {
		t.Errorf("%s differs (write it anew with -update); got:\n%s", name, got)
	}
}

func samples(t *testing.T, pattern string) []string {
	t.Helper()
	files, err := filepath.Glob(pattern)
	if err != nil || len(files) == 0 {
		t.Fatalf("%s: %d files, %v", pattern, len(files), err)
	}
	return files
}

func TestValidProjectsLoad(t *testing.T) {
	for _, file := range samples(t, "testdata/valid/*.yaml") {
		if _, err := Load(file); err != nil {
			t.Errorf("%v", err)
		}
	}
}

// TestMistakesAreAllNamed holds what a person reads when a project is wrong.
// The golden files were read line by line; each sample says in comments which
// mistakes it holds.
func TestMistakesAreAllNamed(t *testing.T) {
	for _, file := range samples(t, "testdata/wrong/*.yaml") {
		_, err := Load(file)
		if err == nil {
			t.Errorf("%s: no mistake was found", file)
			continue
		}
		golden(t, strings.TrimSuffix(file, ".yaml")+".golden", filepath.ToSlash(err.Error())+"\n")
	}
}
