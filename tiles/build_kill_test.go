package tiles

import (
	"context"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"tussock/layers"
)

// killFolder is where the process that is to be killed builds.
const killFolder = "TILES_KILL_FOLDER"

func killedBuild(folder string) error {
	source := mercatorField(averholt, 1200, 900, 45, rolling)
	o := Options{Audience: layers.Staff, Formats: allFormats, Replace: true, Address: "https://example.org/{z}/{x}/{y}.png"}
	return Build(context.Background(), source, o, folder)
}

// A process killed at any moment leaves complete outputs or none under their
// final names, whether or not there were outputs before.
func TestKilledBuildLeavesNoHalfFile(t *testing.T) {
	if folder := os.Getenv(killFolder); folder != "" {
		for {
			if err := killedBuild(folder); err != nil {
				t.Fatal(err)
			}
		}
	}
	whole := t.TempDir()
	start := time.Now()
	if err := killedBuild(whole); err != nil {
		t.Fatal(err)
	}
	once := time.Since(start)
	folder := t.TempDir()
	for i := range 6 {
		cmd := exec.Command(os.Args[0], "-test.run=^TestKilledBuildLeavesNoHalfFile$")
		cmd.Env = append(os.Environ(), killFolder+"="+folder)
		if err := cmd.Start(); err != nil {
			t.Fatal(err)
		}
		time.Sleep(once * time.Duration(3+2*i) / 6)
		cmd.Process.Kill()
		cmd.Wait()
		checkFinalNames(t, whole, folder)
	}
}

// checkFinalNames compares all outputs but the temporary ones with a whole
// build's.
func checkFinalNames(t *testing.T, whole, folder string) {
	t.Helper()
	entries, err := os.ReadDir(folder)
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range entries {
		if strings.HasPrefix(e.Name(), ".") && strings.HasSuffix(strings.TrimSuffix(e.Name(), ".old"), ".tmp") {
			os.RemoveAll(filepath.Join(folder, e.Name()))
			continue
		}
		if hashTree(t, filepath.Join(folder, e.Name())) != hashTree(t, filepath.Join(whole, e.Name())) {
			t.Errorf("%s is not complete", e.Name())
		}
	}
}
