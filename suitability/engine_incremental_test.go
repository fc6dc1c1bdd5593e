package suitability

import (
	"context"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"tussock/layers"
)

// smallJob is two species on 3 by 2 blocks of 512 cells.
func smallJob(t testing.TB) *Job {
	t.Helper()
	grid := landscapeGrid(t)
	grid.Cols, grid.Rows = 1030, 520
	j := richJob(t, grid, Bytes, layers.Staff)
	j.Subjects = []Subject{j.Subjects[0], j.Subjects[3]}
	return j
}

// steps counts what a run says of itself.
type steps struct {
	lock  sync.Mutex
	count map[string]int
}

func (s *steps) note(p Progress) {
	s.lock.Lock()
	defer s.lock.Unlock()
	if s.count == nil {
		s.count = map[string]int{}
	}
	s.count[p.Stage]++
}

// work does a job in blocks of 512 and counts its steps.
func work(t testing.TB, j *Job) map[string]int {
	t.Helper()
	p, err := j.Plan(512, 1)
	if err != nil {
		t.Fatal(err)
	}
	var s steps
	o := RunOptions{Workers: 2, Progress: s.note}
	if err := p.Run(context.Background(), 0, o); err != nil {
		t.Fatal(err)
	}
	if _, err := p.Reduce(context.Background(), o); err != nil {
		t.Fatal(err)
	}
	return s.count
}

// changed are the files of a folder that are new or younger than they were.
func changed(t testing.TB, folder string, before map[string]time.Time) []string {
	t.Helper()
	var list []string
	err := filepath.WalkDir(folder, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		info, err := d.Info()
		if was, ok := before[path]; err == nil && (!ok || !info.ModTime().Equal(was)) {
			list = append(list, path)
			before[path] = info.ModTime()
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return list
}

func TestOnlyWhatChangedIsComputedAgain(t *testing.T) {
	j := smallJob(t)
	seen := map[string]time.Time{}
	first := work(t, j)
	if first["cells"] != 6 || first["surfaces"] != 2 || first["count"] != 6 {
		t.Errorf("the first run took %v", first)
	}
	changed(t, j.Folder, seen)
	if _, err := os.Stat(filepath.Join(j.Folder, ".work")); !errors.Is(err, os.ErrNotExist) {
		t.Errorf("segments are left behind: %v", err)
	}

	if again := work(t, j); len(again) != 0 {
		t.Errorf("an unchanged job took %v", again)
	}
	if list := changed(t, j.Folder, seen); len(list) > 0 {
		t.Errorf("an unchanged job touched %v", list)
	}

	old := publishedFiles(t, j)
	j.Subjects[1].Profile.Requisites[0].Criteria[0].Rating = Table{1, 0.6, 0, 0.2}
	if third := work(t, j); third["cells"] != 6 || third["surfaces"] != 1 || third["count"] != 6 {
		t.Errorf("one changed species took %v", third)
	}
	for _, path := range changed(t, j.Folder, seen) {
		if name := j.relative(path); !strings.HasPrefix(name, "surfaces/moth/") && !strings.HasPrefix(name, "surfaces/"+countID+"/") && name != CatalogueName {
			t.Errorf("a change of the moth touched %s", name)
		}
	}
	delete(old, CatalogueName)
	now := publishedFiles(t, j)
	for name, sum := range old {
		if now[name] != sum {
			t.Errorf("the older %s did not stay", name)
		}
	}
	if len(now) < len(old)+8 { // three rasters and their names, an item, and a count at least
		t.Errorf("%d files became %d", len(old), len(now))
	}
}

// Every part of a job that can change a byte changes the key, and nothing else
// does.
func TestKeyFollowsWhatItDependsOn(t *testing.T) {
	base := smallJob(t)
	key := func(change func(*Job)) string {
		j := *base
		j.Inputs = map[string]string{"cover": "1", "elev": "2", "roads": "3"}
		profile := *base.Subjects[0].Profile
		j.Subjects = []Subject{{&profile, base.Subjects[0].Range}}
		change(&j)
		return j.task(j.Subjects[0]).Key
	}
	same := key(func(*Job) {})
	for name, change := range map[string]func(*Job){
		"a layer that it does not read": func(j *Job) { j.Inputs["roads"] = "9" },
		"where it is written":           func(j *Job) { j.Folder = "elsewhere" },
		"the counted class":             func(j *Job) { j.Counted = 1 },
	} {
		if key(change) != same {
			t.Errorf("%s changes the key", name)
		}
	}
	for name, change := range map[string]func(*Job){
		"a layer":        func(j *Job) { j.Inputs["cover"] = "9" },
		"the range":      func(j *Job) { j.Subjects[0].Range = nil },
		"the floor":      func(j *Job) { j.Subjects[0].Profile.Floor = 0.2 },
		"the name":       func(j *Job) { j.Subjects[0].Profile.Name = "Heathling" },
		"the audience":   func(j *Job) { j.Audience = layers.Partner },
		"the values":     func(j *Job) { j.Values = Floats },
		"the classes":    func(j *Job) { j.Classes = Classes{0.5} },
		"the date":       func(j *Job) { j.Date = "2026-06-02" },
		"the grid":       func(j *Job) { j.Grid.Cols++ },
		"the grid's CRS": func(j *Job) { j.Grid.CRS = layers.WebMercator() },
	} {
		if key(change) == same {
			t.Errorf("%s does not change the key", name)
		}
	}
}
