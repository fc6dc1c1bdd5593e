package district

import (
	"embed"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"

	"tussock/cmd/averholt/land"
	"tussock/cmd/averholt/life"
	"tussock/suitability/project"
)

// written is what people wrote: the project file, the profiles, the wording and
// the list of sources.
//
//go:embed project
var written embed.FS

// Write makes the district of a seed and writes it into a folder, which is
// created, or holds an older district. Whatever else is in the folder stays as
// it is; where a file would have to be replaced that is not the district's own,
// or was changed since it was written, nothing is replaced at all. The same
// seed gives the same bytes.
func Write(folder string, seed uint64) error {
	return write(folder, func(into string) error {
		d := land.New(seed)
		l := life.New(d, seed)
		return errors.Join(writeProject(into, l), d.WriteFiles(into), l.WriteFiles(into))
	})
}

// write has a district made beside the folder and then moves it in, file by
// file.
func write(folder string, make func(into string) error) error {
	folder = filepath.Clean(folder)
	old, err := readManifest(folder)
	if err != nil {
		return err
	}
	if err := os.MkdirAll(filepath.Dir(folder), 0o755); err != nil {
		return err
	}
	fresh, err := os.MkdirTemp(filepath.Dir(folder), "."+filepath.Base(folder)+"-*")
	if err != nil {
		return err
	}
	defer os.RemoveAll(fresh)
	if err := make(fresh); err != nil {
		return err
	}
	made, err := manifestOf(fresh)
	if err != nil {
		return err
	}
	if err := old.checkOwn(folder, made); err != nil {
		return err
	}
	return replace(folder, fresh, old, made)
}

// writeProject writes the files that are held in the program. One line of the
// project file is filled in, since the office moves with the seed.
func writeProject(folder string, l *life.Life) error {
	root, err := fs.Sub(written, "project")
	if err != nil {
		return err
	}
	return fs.WalkDir(root, ".", func(name string, e fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		to := filepath.Join(folder, filepath.FromSlash(name))
		if e.IsDir() {
			return os.MkdirAll(to, 0o755)
		}
		text, err := fs.ReadFile(root, name)
		if err != nil {
			return err
		}
		if name == project.FileName {
			text = withOffice(text, l)
		}
		return os.WriteFile(to, text, 0o644)
	})
}

var officeLine = regexp.MustCompile(`(?m)^(  office: )\[.*?\]`)

// withOffice writes where the charity's office stands into the project file.
func withOffice(text []byte, l *life.Life) []byte {
	for _, p := range l.Places {
		if p.Kind == life.Office {
			return officeLine.ReplaceAll(text, fmt.Appendf(nil, "${1}[%.0f, %.0f]", p.At[0], p.At[1]))
		}
	}
	return text
}

// replace moves the fresh files in and takes those away that an older district
// had and this one has not. A manifest of both stands in the folder until all
// is done, so that a district that was cut short can be written again.
func replace(folder, fresh string, old, made manifest) error {
	if err := os.MkdirAll(folder, 0o755); err != nil {
		return err
	}
	if err := old.with(made).write(folder); err != nil {
		return err
	}
	for _, name := range made.names() {
		to := filepath.Join(folder, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(to), 0o755); err != nil {
			return err
		}
		if err := os.Rename(filepath.Join(fresh, filepath.FromSlash(name)), to); err != nil {
			return err
		}
	}
	for _, name := range old.names() {
		if made[name] != nil {
			continue
		}
		if err := os.Remove(filepath.Join(folder, filepath.FromSlash(name))); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return err
		}
	}
	return made.write(folder)
}
