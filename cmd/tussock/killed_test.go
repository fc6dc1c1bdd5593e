package main

import (
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
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
	t.Parallel()
	kills := fromEnv("TUSSOCK_KILLS", 50)
	seed := uint64(fromEnv("TUSSOCK_SEED", int(time.Now().UnixNano()&0x7fffffff)))
	random := rand.New(rand.NewPCG(seed, 0))
	t.Logf("seed %d, %d kills", seed, kills)

	folder := t.TempDir()
	whole := filepath.Join(folder, "whole")
	start := time.Now()
	build(t, plot, whole)
	took := time.Since(start)
	want := published(t, whole)

	for done, tries := 0, 0; done < kills; tries++ {
		if tries > 3*kills {
			t.Fatalf("only %d of %d runs could be killed before their end", done, tries)
		}
		// one moment in each of so many equal parts of the run
		moment := time.Duration((float64(done) + random.Float64()) / float64(kills) * float64(took))
		out := filepath.Join(folder, "out")
		cmd := exec.Command(theProgram(t), "build", "--project", plot, "--audience", "staff", "--out", out, "--quiet")
		if err := cmd.Start(); err != nil {
			t.Fatal(err)
		}
		time.Sleep(moment)
		cmd.Process.Kill()
		if cmd.Wait() == nil { // it was quicker than the run that was timed
			took = min(took*9/10, moment)
		} else {
			done++
		}
		onlyWhole(t, fmt.Sprintf("killed after %v", moment), published(t, out), want)
		build(t, plot, out)
		sameFiles(t, fmt.Sprintf("killed after %v and run again", moment), published(t, out), want)
		os.RemoveAll(out)
	}
}

// TestKilledInsideEachRename lets the kernel kill the program as it enters each
// of its renames: the moments at which a file gets its final name.
func TestKilledInsideEachRename(t *testing.T) {
	t.Parallel()
	strace, err := exec.LookPath("strace")
	if err != nil {
		t.Skip("strace is not installed")
	}
	folder := t.TempDir()
	whole := filepath.Join(folder, "whole")
	log := filepath.Join(folder, "log")
	if text, err := exec.Command(strace, traced(t, whole, "-o", log)...).CombinedOutput(); err != nil {
		t.Fatalf("strace: %v\n%s", err, text)
	}
	want := published(t, whole)
	names := renamed(t, log, whole)
	if len(names) < 20 {
		t.Fatalf("only %d renames: %v", len(names), names)
	}
	t.Logf("%d renames", len(names))
	for _, name := range names {
		out := filepath.Join(folder, "out")
		// -P lets through only calls that touch the name; all threads share it.
		cmd := exec.Command(strace, traced(t, out, "-o", os.DevNull, "-P", filepath.Join(out, name), "-e", "inject=/^rename:signal=KILL")...)
		if text, err := cmd.CombinedOutput(); err == nil {
			t.Fatalf("the program was not killed in the rename to %s: %s", name, text)
		}
		if _, err := os.Lstat(filepath.Join(out, name)); err == nil {
			t.Errorf("killed in the rename to %s, which is there", name)
		}
		onlyWhole(t, "killed in the rename to "+name, published(t, out), want)
		build(t, plot, out)
		sameFiles(t, "killed in the rename to "+name+" and run again", published(t, out), want)
		os.RemoveAll(out)
	}
}

// traced are strace's arguments for the whole job.
func traced(t *testing.T, out string, more ...string) []string {
	args := append([]string{"-f", "-qq", "-s", "4096", "-e", "trace=/^rename"}, more...)
	return append(args, theProgram(t), "build", "--project", plot, "--audience", "staff", "--out", out, "--quiet")
}

// renameCall is a line of strace's log: the last quoted text is the new name.
var renameCall = regexp.MustCompile(`rename.*, "([^"]+)"(?:, [A-Z_|0]+)?\) += 0`)

// renamed are the final names in a log, below a folder, each once.
func renamed(t *testing.T, log, folder string) []string {
	t.Helper()
	raw, err := os.ReadFile(log)
	if err != nil {
		t.Fatal(err)
	}
	var names []string
	for _, call := range renameCall.FindAllStringSubmatch(string(raw), -1) {
		name, err := filepath.Rel(folder, call[1])
		if err != nil {
			t.Fatal(err)
		}
		if !slices.Contains(names, name) {
			names = append(names, name)
		}
	}
	return names
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
