package district

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// making gives a maker of the files of a map from path to text.
func making(files map[string]string) func(string) error {
	return func(into string) error {
		for name, text := range files {
			path := filepath.Join(into, name)
			if err := errors.Join(os.MkdirAll(filepath.Dir(path), 0o755), os.WriteFile(path, []byte(text), 0o644)); err != nil {
				return err
			}
		}
		return nil
	}
}

// contents are a folder's files, without the manifest.
func contents(t *testing.T, folder string) map[string]string {
	t.Helper()
	got := map[string]string{}
	err := filepath.WalkDir(folder, func(path string, e fs.DirEntry, err error) error {
		if err != nil || e.IsDir() || e.Name() == manifestName {
			return err
		}
		text, err := os.ReadFile(path)
		name, _ := filepath.Rel(folder, path)
		got[filepath.ToSlash(name)] = string(text)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return got
}

func expect(t *testing.T, folder string, want map[string]string) {
	t.Helper()
	got := contents(t, folder)
	for name, text := range want {
		if got[name] != text {
			t.Errorf("%s is %q, not %q", name, got[name], text)
		}
	}
	if len(got) != len(want) {
		t.Errorf("the folder holds %v", got)
	}
	if rest, _ := filepath.Glob(filepath.Join(filepath.Dir(folder), ".*")); len(rest) > 0 {
		t.Errorf("left beside the folder: %v", rest)
	}
}

// TestOlderDistrictIsReplaced: new files come, old ones go, and what somebody
// put beside them stays.
func TestOlderDistrictIsReplaced(t *testing.T) {
	folder := filepath.Join(t.TempDir(), "new", "district")
	if err := write(folder, making(map[string]string{"a": "1", "sub/b": "2", "gone": "3"})); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(folder, "mine.txt"), []byte("notes"), 0o644); err != nil {
		t.Fatal(err)
	}
	if err := write(folder, making(map[string]string{"a": "one", "sub/b": "2", "sub/c": "4"})); err != nil {
		t.Fatal(err)
	}
	expect(t, folder, map[string]string{"a": "one", "sub/b": "2", "sub/c": "4", "mine.txt": "notes"})
}

// TestOthersFilesAreLeft: nothing is written where a single file would be lost.
func TestOthersFilesAreLeft(t *testing.T) {
	for name, c := range map[string]struct {
		prepare func(folder string) error
		want    map[string]string
		words   string
	}{
		"no district": {making(map[string]string{"letter": "dear"}), map[string]string{"letter": "dear"}, "holds something else"},
		"changed file": {func(folder string) error {
			return errors.Join(write(folder, making(map[string]string{"a": "1", "b": "2"})), making(map[string]string{"a": "edited"})(folder))
		}, map[string]string{"a": "edited", "b": "2"}, "changed since"},
		"file in the way": {func(folder string) error {
			return errors.Join(write(folder, making(map[string]string{"b": "2"})), making(map[string]string{"a": "mine"})(folder))
		}, map[string]string{"a": "mine", "b": "2"}, "never was"},
		"changed file that would go": {func(folder string) error {
			return errors.Join(write(folder, making(map[string]string{"c": "3"})), making(map[string]string{"c": "edited"})(folder))
		}, map[string]string{"c": "edited"}, "changed since"},
		"manifest that leads out": {making(map[string]string{manifestName: strings.Repeat("0", 64) + "  ../letter\n"}), map[string]string{}, manifestName + ":1"},
	} {
		t.Run(name, func(t *testing.T) {
			folder := filepath.Join(t.TempDir(), "district")
			if err := c.prepare(folder); err != nil {
				t.Fatal(err)
			}
			err := write(folder, making(map[string]string{"a": "new", "b": "new"}))
			if err == nil || !strings.Contains(err.Error(), c.words) || !strings.Contains(err.Error(), "hint: ") {
				t.Errorf("error %v", err)
			}
			expect(t, folder, c.want)
		})
	}
}

// TestFailureLeavesNothing: a district that cannot be made leaves no trace.
func TestFailureLeavesNothing(t *testing.T) {
	folder := filepath.Join(t.TempDir(), "district")
	want := errors.New("no ground")
	err := write(folder, func(into string) error { return errors.Join(making(map[string]string{"a": "1"})(into), want) })
	if !errors.Is(err, want) {
		t.Error(err)
	}
	if _, err := os.Stat(folder); !errors.Is(err, fs.ErrNotExist) {
		t.Error("the folder was made")
	}
	if rest, _ := os.ReadDir(filepath.Dir(folder)); len(rest) > 0 {
		t.Errorf("left beside the folder: %v", rest)
	}
}

// TestCutShort: after a stop between two moves the district can be written
// again.
func TestCutShort(t *testing.T) {
	folder := filepath.Join(t.TempDir(), "district")
	first, second := map[string]string{"a": "1", "b": "1"}, map[string]string{"a": "2", "b": "2"}
	if err := write(folder, making(first)); err != nil {
		t.Fatal(err)
	}
	old, _ := manifestOf(folder)
	delete(old, manifestName)
	fresh := t.TempDir()
	if err := making(second)(fresh); err != nil {
		t.Fatal(err)
	}
	made, _ := manifestOf(fresh)
	if err := errors.Join(old.with(made).write(folder), os.Rename(filepath.Join(fresh, "a"), filepath.Join(folder, "a"))); err != nil {
		t.Fatal(err)
	}
	if err := write(folder, making(second)); err != nil {
		t.Fatal(err)
	}
	expect(t, folder, second)
}
