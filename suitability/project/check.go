package project

import (
	"errors"
	"path/filepath"
	"regexp"
	"strings"

	"tussock/layers"
	"tussock/suitability"
)

// reading is a project on its way from text to model: the sections as written,
// the profiles of all files, and what is wrong with them.
type reading struct {
	*report
	path     string
	folder   string
	doc      *document
	file     file
	profiles []*profile // only those whose YAML could be read
}

// check runs every test that needs no layer to be opened.
func (r *reading) check() {
	r.checkArea()
	for i := range r.file.Layers {
		r.checkLayer(r.file.Layers[i].Name, &r.file.Layers[i].Value)
	}
	r.checkSources()
	r.checkPlaces()
	r.checkWording()
	r.checkSpecies()
	r.checkOutput()
	r.checkPicture()
	r.checkCleaning()
}

// packageNames are the marks of the packages that an error came through.
var packageNames = regexp.MustCompile(`(^|: )(?:(?:layers|suitability|records|gdal|coordinate reference system): )+`)

// split takes the hint out of an error of another package, and the packages'
// names too: what is left reads after a place in a file.
func split(err error) (message, hint string) {
	message, hint, _ = strings.Cut(err.Error(), "\nhint: ")
	if hint == "" {
		message, hint, _ = strings.Cut(message, "; hint: ")
	}
	return packageNames.ReplaceAllString(message, "$1"), strings.ReplaceAll(hint, "\nhint: ", "; ")
}

// wrong reports an error of another package at a place of the file.
func wrong(d *document, path string, err error) {
	message, hint := split(err)
	d.problem(path, hint, "%s", message)
}

const crsHint = "write a code such as EPSG:32617, or WKT"

// checkFields reports what the model says of a section, unless the same value
// was found wrong before.
func (a at) checkFields(errs []error) {
	for _, err := range errs {
		var field *suitability.FieldError
		if !errors.As(err, &field) {
			wrong(a.doc, a.path, err)
			continue
		}
		path := join(a.path, field.Path)
		if !a.doc.spoken(path) {
			a.doc.problem(path, "", "%s", field.Reason)
		}
	}
}

// spoken tells whether a problem was reported at a path or below it, or at one
// of the values above it.
func (d *document) spoken(path string) bool {
	for _, p := range d.report.problems {
		if p.File == d.file && (within(p.Path, path) || within(path, p.Path) && p.Path != "") {
			return true
		}
	}
	return false
}

func within(path, outer string) bool {
	rest, ok := strings.CutPrefix(path, outer)
	return ok && (rest == "" || rest[0] == '.' || rest[0] == '[')
}

// inFolder is a source as the project file names it, seen from where the
// program runs; isFile tells whether it must exist as a file or folder.
func inFolder(folder, source string) (path string, isFile bool) {
	if strings.HasPrefix(source, "/vsi") || strings.HasPrefix(source, "<") || strings.HasPrefix(source, "{") {
		return source, false
	}
	// A driver's prefix or a URL; a single letter is a Windows drive.
	if scheme, _, ok := strings.Cut(source, ":"); ok && len(scheme) > 1 && !strings.ContainsAny(scheme, `/\. `) {
		return source, false
	}
	if filepath.IsAbs(source) {
		return source, true
	}
	return filepath.Join(folder, filepath.FromSlash(source)), true
}

// closest puts a likely meant name into a hint, else lists the known ones.
func closest(word string, known []string) string {
	if best := layers.Closest(word, known); best != "" {
		return "did you mean `" + best + "`?"
	}
	const most = 20
	if len(known) > most {
		return "some of the known ones are " + strings.Join(known[:most], ", ")
	}
	if len(known) == 0 {
		return ""
	}
	return "use " + strings.Join(known, ", ")
}
