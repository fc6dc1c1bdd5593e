package suitability

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// onSmallDisk gives a job's folder a disk of so many kilobytes.
func onSmallDisk(t *testing.T, j *Job, kilobytes int) {
	t.Helper()
	if out, err := exec.Command("mount", "-t", "tmpfs", "-o", fmt.Sprintf("size=%dk", kilobytes), "tmpfs", j.Folder).CombinedOutput(); err != nil {
		t.Skipf("no small disk can be mounted here: %v %s", err, out)
	}
	t.Cleanup(func() {
		if out, err := exec.Command("umount", j.Folder).CombinedOutput(); err != nil {
			t.Errorf("%v %s", err, out)
		}
	})
}

// TestFullDisk lets the disk run full at many moments, the first time after an
// older version was published: a clear error, the older version intact, nothing
// half under a final name, and the right bytes once there is room.
func TestFullDisk(t *testing.T) {
	t.Parallel()
	whole := smallJob(t)
	work(t, whole)
	old := publishedFiles(t, whole)
	whole.Subjects[1].Profile.Requisites[0].Criteria[0].Rating = Table{1, 0.6, 0, 0.2}
	work(t, whole)
	want := publishedFiles(t, whole)

	j := smallJob(t)
	onSmallDisk(t, j, 8<<10)
	work(t, j)
	j.Subjects[1].Profile.Requisites[0].Criteria[0].Rating = Table{1, 0.6, 0, 0.2}
	ballast := filepath.Join(j.Folder, "ballast")
	failed := 0
	for free := 0; free < 4<<10 && failed == free/32; free += 32 {
		if err := fillDisk(j.Folder, ballast, free); err != nil {
			t.Fatal(err)
		}
		if err := tryWork(j); err != nil {
			failed++
			if !strings.Contains(err.Error(), "no space left") {
				t.Errorf("%d kB free: %v", free, err)
			}
		}
		os.Remove(ballast)
		onlyOldAndWhole(t, fmt.Sprintf("%d kB free", free), publishedFiles(t, j), old, want)
	}
	if failed < 3 {
		t.Errorf("the disk ran full only %d times", failed)
	}
	t.Logf("the disk ran full %d times", failed)
	work(t, j)
	sameFiles(t, "with room again", publishedFiles(t, j), want)
}

func tryWork(j *Job) error {
	p, err := j.Plan(512, 1)
	if err == nil {
		err = p.Run(context.Background(), 0, RunOptions{})
	}
	if err == nil {
		_, err = p.Reduce(context.Background(), RunOptions{})
	}
	return err
}

// fillDisk leaves so many kilobytes free.
func fillDisk(folder, ballast string, free int) error {
	f, err := os.Create(ballast)
	if err != nil {
		return err
	}
	defer f.Close()
	for err == nil {
		_, err = f.Write(make([]byte, 4096))
	}
	size, err := f.Seek(0, 1)
	if err == nil {
		err = f.Truncate(max(size-int64(free)<<10, 0))
	}
	return err
}

// onlyOldAndWhole holds that all old files stand and every other visible one is
// whole; segments and their halves are no published files.
func onlyOldAndWhole(t *testing.T, what string, got, old, want map[string]string) {
	t.Helper()
	for name, sum := range old {
		if got[name] != sum && (name != CatalogueName || got[name] != want[name]) {
			t.Errorf("%s: the older %s is gone or changed", what, name)
		}
	}
	for name, sum := range got {
		if strings.HasPrefix(name, ".work/") || old[name] == sum {
			continue
		}
		if sum != want[name] {
			t.Errorf("%s: %s is visible but not whole", what, name)
		}
	}
}

// A folder that refuses to be written: root writes everywhere, so a file stands
// in the way instead.
func TestFolderThatCannotBeWritten(t *testing.T) {
	for _, blocked := range []string{".work", "surfaces", "surfaces/moth"} {
		j := smallJob(t)
		path := filepath.Join(j.Folder, blocked)
		if err := errors.Join(os.MkdirAll(filepath.Dir(path), 0o777), os.WriteFile(path, nil, 0o666)); err != nil {
			t.Fatal(err)
		}
		err := tryWork(j)
		var at *fs.PathError
		if !errors.As(err, &at) || !strings.Contains(err.Error(), blocked) {
			t.Errorf("%s in the way: %v", blocked, err)
		}
		if _, err := ReadCatalogue(j.Folder); !errors.Is(err, ErrNoCatalogue) {
			t.Errorf("%s in the way: a catalogue was published: %v", blocked, err)
		}
	}
}
