package main

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// TestInterrupted interrupts the job once: the block at hand is finished, the
// exit status is 130, and the same command goes on to the same files.
func TestInterrupted(t *testing.T) {
	t.Parallel()
	folder := t.TempDir()
	s := site{t, filepath.Join(folder, "plot")}
	s.must(os.CopyFS(s.folder, os.DirFS(plot)))
	s.edit(fine...)
	whole := filepath.Join(folder, "whole")
	build(t, s.folder, whole)
	want := published(t, whole)

	// The program may be too quick for one moment and not begun at another.
	for moment := 50 * time.Millisecond; moment < 5*time.Second; moment += 50 * time.Millisecond {
		out := filepath.Join(folder, "out")
		cmd := exec.Command(theProgram(t), "build", "--project", s.folder, "--audience", "staff", "--out", out, "--quiet")
		var said bytes.Buffer
		cmd.Stderr = &said
		s.must(cmd.Start())
		time.Sleep(moment)
		cmd.Process.Signal(os.Interrupt)
		cmd.Wait()
		if cmd.ProcessState.ExitCode() == exitInterrupted && strings.Contains(said.String(), "run the same command again") {
			onlyWhole(t, "interrupted", published(t, out), want)
			build(t, s.folder, out)
			sameFiles(t, "interrupted and run again", published(t, out), want)
			return
		}
		os.RemoveAll(out)
	}
	t.Error("no interrupt met the work")
}
