package project

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"time"

	"tussock/layers"
)

// Change is new weights, and why.
type Change struct {
	Weights  Weights
	Reason   string // needed
	Who      string // codes will do
	Evidence string
	Date     time.Time // the day that it counts from, as given; never read from the clock
}

// Revision is a version that could be written.
type Revision struct {
	Version  Version
	Replaces int // the version before

	file *ProfileFile
	text []byte    // what the file is to hold
	log  []byte    // the log as it was read
	more []Version // what the log is to hold besides
	kept [][]byte  // their texts
}

// Revise prepares a new version with other weights. Nothing is written.
func (f *ProfileFile) Revise(c Change) (*Revision, error) {
	if yamlText(c.Reason) == "" {
		return nil, errors.New("project: a new version needs a reason")
	}
	text, err := f.rewrite(c.Weights)
	if err != nil {
		return nil, err
	}
	r, versions, err := f.revision()
	if err != nil {
		return nil, err
	}
	return r, r.add(versions, Version{Date: c.Date, Who: c.Who, Reason: c.Reason, Evidence: c.Evidence}, text)
}

// Accept writes a new version with other weights: [ProfileFile.Revise] and
// [Revision.Write] in one.
func (f *ProfileFile) Accept(c Change) (Version, error) {
	r, err := f.Revise(c)
	if err != nil {
		return Version{}, err
	}
	return r.Version, r.Write()
}

// revision begins with what the log does not know yet: a text that nobody
// accepted, which is the first version or was written by hand.
func (f *ProfileFile) revision() (*Revision, []Version, error) {
	log, versions, err := f.readLog()
	if err != nil {
		return nil, nil, err
	}
	r := &Revision{file: f, log: log}
	now := bytesHash(f.raw)
	if n := len(versions); n > 0 && versions[n-1].After == now {
		return r, versions, nil
	}
	v := Version{Reason: "as it stood before the first change was accepted"}
	if n := len(versions); n > 0 {
		v = Version{Reason: "changed by hand", Before: versions[n-1].After}
		for _, earlier := range versions {
			if earlier.After == now {
				v.Reason, v.Restores = "put back by hand", earlier.Number
			}
		}
	}
	err = r.add(versions, v, f.raw)
	return r, append(versions, r.more...), err
}

// add puts one more version to a revision.
func (r *Revision) add(versions []Version, v Version, text []byte) error {
	greatest, err := r.file.greatestNumber(versions)
	if err != nil {
		return err
	}
	for _, before := range r.more {
		greatest = max(greatest, before.Number)
	}
	v.Number, v.After = greatest+1, bytesHash(text)
	v.File = r.file.keptAt(v.Number)
	if n := len(r.more); n > 0 {
		v.Before, r.Replaces = r.more[n-1].After, r.more[n-1].Number
	} else if n := len(versions); n > 0 {
		v.Before, r.Replaces = versions[n-1].After, versions[n-1].Number
	}
	r.Version, r.text = v, text
	r.more, r.kept = append(r.more, v), append(r.kept, text)
	return nil
}

// Files are what [Revision.Write] writes, in its order.
func (r *Revision) Files() []string {
	var files []string
	for _, v := range r.more {
		files = append(files, v.File)
	}
	return append(files, r.file.logPath(), r.file.Path)
}

// Write writes the version: first the texts that are kept, then the log, then
// the file itself, each by a temporary file and a rename. Whatever stops it
// between, the file holds one whole text and no text is lost. It refuses with
// [ErrFileChanged] where the file or the log are not as they were read.
func (r *Revision) Write() error {
	unlock, err := lockFolder(r.file.Path)
	if err != nil {
		return err
	}
	defer unlock()
	if err := r.unchanged(); err != nil {
		return err
	}
	for i, v := range r.more {
		if err := keepText(v.File, r.kept[i]); err != nil {
			return err
		}
	}
	if err := replaceText(r.file.logPath(), r.file.appended(r.log, r.more)); err != nil {
		return err
	}
	if err := r.unchangedFile(); err != nil {
		return err
	}
	return replaceText(r.file.Path, r.text)
}

func (r *Revision) unchanged() error {
	log, err := readRaw(r.file.logPath())
	if errors.Is(err, fs.ErrNotExist) {
		err = nil
	}
	switch {
	case err != nil:
		return err
	case !bytes.Equal(log, r.log):
		return fmt.Errorf("%w: %s", ErrFileChanged, r.file.logPath())
	}
	return r.unchangedFile()
}

func (r *Revision) unchangedFile() error {
	raw, err := readRaw(r.file.Path)
	if err == nil && !bytes.Equal(raw, r.file.raw) {
		err = fmt.Errorf("%w: %s", ErrFileChanged, r.file.Path)
	}
	return err
}

// keepText writes a version's text under a name that nothing has yet.
func keepText(path string, text []byte) error {
	if _, err := os.Lstat(path); err == nil {
		return fmt.Errorf("%w: %s is there now", ErrFileChanged, path)
	}
	return replaceText(path, text)
}

// replaceText publishes a text; a file that it takes the place of hands on its
// permissions.
func replaceText(path string, text []byte) error {
	return layers.PublishFile(path, func(f *os.File) error {
		if info, err := os.Stat(path); err == nil {
			if err := f.Chmod(info.Mode().Perm()); err != nil {
				return err
			}
		}
		_, err := io.Copy(f, bytes.NewReader(text))
		return err
	})
}
