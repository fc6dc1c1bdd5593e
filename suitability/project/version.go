package project

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"time"

	"tussock/suitability"
)

// A profile in a file of its own has versions. Beside species/adder.yaml lie the
// text of each version, adder.v1.yaml, adder.v2.yaml and so on, and a log,
// adder.versions.yaml, that says when, who and why. Only adder.yaml is read by a
// project. Nothing that lies there is ever written over or removed, but for
// adder.yaml itself, whose text has been kept by then.

var (
	// ErrFileChanged is met where a file was changed after it was read.
	ErrFileChanged = errors.New("project: the file was changed since it was read")
	// ErrSameWeights is met where a change would change nothing.
	ErrSameWeights = errors.New("project: the profile has these weights already")
	// ErrNothingEarlier is met where there is no version to go back to.
	ErrNothingEarlier = errors.New("project: there is no earlier version to go back to")
)

// Version is one version of a profile's file.
type Version struct {
	Number   int
	Date     time.Time // as it was given, never the day of the clock; zero where nothing was
	Who      string
	Reason   string
	Evidence string
	Before   string // SHA-256 of the text that it took the place of; "" for the first
	After    string // SHA-256 of its own text
	Restores int    // the version whose text it brought back; 0 for none
	File     string // where its text is kept
}

// ProfileFile is a profile in a file of its own, as it was read.
type ProfileFile struct {
	Path string // links followed

	raw   []byte
	doc   *document
	own   *profile
	model *suitability.Profile
}

// keptVersion is the name of a text that is kept, not of a profile in use.
var keptVersion = regexp.MustCompile(`(?i)\.v[0-9]+\.ya?ml$`)

// ReadProfile reads a profile's file and checks what can be checked without its
// project: its form, its names and its sums of weights.
func ReadProfile(path string) (*ProfileFile, error) {
	if keptVersion.MatchString(path) {
		return nil, Problems{{File: path, Message: "this is the text of a version, not a profile in use", Hint: "name the file without .v and a number"}}
	}
	real, err := filepath.EvalSymlinks(path)
	if err != nil {
		return nil, err
	}
	raw, err := readRaw(real)
	if err != nil {
		return nil, err
	}
	return parseProfile(real, raw)
}

func readRaw(path string) ([]byte, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return io.ReadAll(io.LimitReader(f, maxFileBytes+1))
}

// parseProfile makes a profile of a file's bytes.
func parseProfile(path string, raw []byte) (*ProfileFile, error) {
	text, err := textOf(path, raw)
	if err != nil {
		var p Problem
		if errors.As(err, &p) {
			return nil, Problems{p}
		}
		return nil, err
	}
	r := &reading{report: newReport(), path: path, folder: filepath.Dir(path)}
	f := &ProfileFile{Path: path, raw: raw, own: &profile{}}
	if r.doc = readDocument(path, text, r.report); r.doc == nil {
		return nil, r.err()
	}
	f.doc = r.doc
	f.doc.decode(f.doc.root, valueOf(f.own), "", rule{})
	if f.own.doc != nil {
		f.model = r.profile(f.own, placeholder)
		f.own.checkFields(f.model.Validate())
		f.own.checkFields(f.model.CheckWeightSums())
	}
	if err := r.err(); err != nil {
		return nil, err
	}
	return f, nil
}

// ID is the species' id.
func (f *ProfileFile) ID() string { return f.own.ID }

// stem is the path without its extension.
func (f *ProfileFile) stem() string { return strings.TrimSuffix(f.Path, filepath.Ext(f.Path)) }

func (f *ProfileFile) logPath() string { return f.stem() + ".versions" + filepath.Ext(f.Path) }

// keptAt is where the text of a version lies.
func (f *ProfileFile) keptAt(number int) string {
	return fmt.Sprintf("%s.v%d%s", f.stem(), number, filepath.Ext(f.Path))
}

func bytesHash(raw []byte) string {
	sum := sha256.Sum256(raw)
	return hex.EncodeToString(sum[:])
}
