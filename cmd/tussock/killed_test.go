package main

import (
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"testing"
	"time"
)

// plot is the small real project of the tests that run the program many times.
const plot = "../../testdata/bei/utm_nominal"

// TestKilledAtAnyMoment kills the program at random moments of the whole job
// and runs it again: the bytes of an unbroken run, and never half a file under
// a final name. TUSSOCK_KILLS sets how often, TUSSOCK_SEED repeats a run.
func TestKilledAtAnyMoment(t *testing.T) {
	kills := fromEnv("TUSSOCK_KILLS", 50)
	seed := uint64(fromEnv("TUSSOCK_SEED", int(time.Now().UnixNano()&0x7fffffff)))
	random := rand.New(rand.NewPCG(seed, 0))
	t.Logf("seed %d, %d kills", seed, kills)

	whole := filepath.Join(t.TempDir(), "whole")
	start := time.Now()
	build(t, plot, whole)
	took := time.Since(start)
	want := published(t, whole)

	for i := range kills {
		// one moment in each of so many equal parts of the run
		moment := time.Duration((float64(i) + random.Float64()) / float64(kills) * float64(took))
		out := filepath.Join(t.TempDir(), "out")
		cmd := exec.Command(theProgram(t), "build", "--project", plot, "--audience", "staff", "--out", out, "--quiet")
		if err := cmd.Start(); err != nil {
			t.Fatal(err)
		}
		time.Sleep(moment)
		cmd.Process.Kill()
		cmd.Wait()
		onlyWhole(t, fmt.Sprintf("killed after %v", moment), published(t, out), want)
		build(t, plot, out)
		sameFiles(t, fmt.Sprintf("killed after %v and run again", moment), published(t, out), want)
		os.RemoveAll(out)
	}
}

// TestKilledInsideEachRename lets the kernel kill the program as it enters its
// first, second, … rename.
func TestKilledInsideEachRename(t *testing.T) {
	strace, err := exec.LookPath("strace")
	if err != nil {
		t.Skip("strace is not installed")
	}
	whole := filepath.Join(t.TempDir(), "whole")
	build(t, plot, whole)
	want := published(t, whole)
	for n := 1; ; n++ {
		out := filepath.Join(t.TempDir(), "out")
		cmd := exec.Command(strace, "-f", "-qq", "-o", os.DevNull, "-e", "trace=/^rename",
			"-e", fmt.Sprintf("inject=/^rename:signal=KILL:when=%d", n),
			theProgram(t), "build", "--project", plot, "--audience", "staff", "--out", out, "--quiet")
		if text, err := cmd.CombinedOutput(); err == nil {
			t.Logf("%d renames", n-1)
			if n < 10 {
				t.Errorf("only %d renames were met: %s", n-1, text)
			}
			return
		}
		onlyWhole(t, fmt.Sprintf("killed in rename %d", n), published(t, out), want)
		build(t, plot, out)
		sameFiles(t, fmt.Sprintf("killed in rename %d and run again", n), published(t, out), want)
		os.RemoveAll(out)
	}
}

// onlyWhole holds that each visible file is one of the unbroken run's.
func onlyWhole(t *testing.T, what string, got, want map[string]string) {
	t.Helper()
	for name, sum := range got {
		if want[name] != sum {
			t.Errorf("%s: %s is visible but not whole", what, name)
		}
	}
}

func fromEnv(name string, otherwise int) int {
	if n, err := strconv.Atoi(os.Getenv(name)); err == nil {
		return n
	}
	return otherwise
}
