package project

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"reflect"
	"time"

	"tussock/layers/records"
	"tussock/suitability"
)

// FileName is the project file that is looked for in a folder.
const FileName = "tussock.yaml"

// Project is a project file without a mistake that could be found by reading
// it. No layer has been opened.
type Project struct {
	File   string // as it was asked for
	Folder string // its folder, which all relative paths start from
	Name   string
	Date   time.Time // reference date

	Records  []records.Source
	Ranges   []suitability.RangeSource
	Output   Output
	Picture  Picture
	Licences []string // of all sources, each once, in the order of the file

	Gazetteer  Source   // where places are from; [Opened.Places] reads them
	Visits     []Source // visits with their effort, finds and blanks
	Parcels    []Source
	Sites      []Source
	Volunteers []Source
	Wording    Wording

	cleaning cleaning // what the tests of records are told

	Warnings []Problem // things to know that are no mistakes
}

// Source is data that only some steps look into. The zero Source is none.
type Source struct {
	File    string // a path from where the program runs, or any source that GDAL/OGR reads
	Layer   string
	Where   string
	Fields  map[string]string // the source's own column for each of ours
	Licence string
}

// Output is what is written, and where.
type Output struct {
	Folder  string
	Values  suitability.Values
	Classes suitability.Classes
	Counted int // species are counted in a cell from this class up

	TileFormats []string // folder, pmtiles, mbtiles; empty where nothing is said
	TileSize    int      // pixels; 0 where nothing is said
	TileAddress string   // where tiles will be handed out; "" where nothing is said
	MinZoom     *int     // nil where nothing is said
	MaxZoom     *int
}

// Load reads a project file, or the tussock.yaml of a folder, with the profiles
// that it names. Every mistake comes back in one [Problems]; a project file
// that is missing or unreadable is an error as the system gives it.
func Load(path string) (*Project, error) {
	r, err := read(path)
	if err != nil {
		return nil, err
	}
	if err := r.err(); err != nil {
		return nil, err
	}
	return r.project(), nil
}

// read goes as far as the static checks. Its error is about the file as a
// whole; mistakes inside are in the reading.
func read(path string) (*reading, error) {
	if info, err := os.Stat(path); err == nil && info.IsDir() {
		path = filepath.Join(path, FileName)
	}
	text, err := readText(path)
	var p Problem
	switch {
	case errors.As(err, &p):
		return nil, Problems{p}
	case err != nil:
		return nil, err
	}
	return readProject(path, text), nil
}

// readProject decodes and checks a project file's text.
func readProject(path, text string) *reading {
	r := &reading{report: newReport(), path: path, folder: filepath.Dir(path)}
	if r.doc = readDocument(path, text, r.report); r.doc == nil {
		return r
	}
	r.doc.decode(r.doc.root, valueOf(&r.file), "", rule{})
	r.readProfiles()
	r.readWording()
	r.check()
	return r
}

// readProfiles gathers the profiles, from this file and from those it names.
func (r *reading) readProfiles() {
	for i := range r.file.Species {
		e := &r.file.Species[i]
		switch {
		case e.doc == nil:
		case e.File == "" && !e.has("file"):
			r.profiles = append(r.profiles, &e.profile)
		case e.File != "":
			r.readProfile(e)
		}
	}
}

func (r *reading) readProfile(e *profileEntry) {
	if d := r.readNamed(e.at, e.File); d != nil {
		own := &profile{}
		d.decode(d.root, valueOf(own), "", rule{})
		if own.doc != nil {
			r.profiles = append(r.profiles, own)
		}
	}
}

// readNamed reads the YAML that a section's `file` names. Whatever is wrong has
// been reported when it returns nil.
func (r *reading) readNamed(a at, file string) *document {
	path, isFile := inFolder(r.folder, file)
	if !isFile {
		a.doc.problem(join(a.path, "file"), "", "%q is not the name of a file", short(file))
		return nil
	}
	text, err := readText(path)
	var p Problem
	switch {
	case errors.As(err, &p):
		r.add(p)
	case errors.Is(err, fs.ErrNotExist):
		r.checkExists(a, "file", file)
	case err != nil:
		a.doc.problem(join(a.path, "file"), "", "%s: %s", short(file), cannotRead(err))
	default:
		return readDocument(path, text, r.report)
	}
	return nil
}

// valueOf is what a pointer points at, to be filled or looked through.
func valueOf(pointer any) reflect.Value { return reflect.ValueOf(pointer).Elem() }
