package project

import (
	"reflect"

	"github.com/goccy/go-yaml/ast"
)

// wording is what the charity says in its own words.
type wording struct {
	at
	Cautions []string  `yaml:"cautions" few:"1" doc:"what everyone who goes out is told"`
	Contacts []contact `yaml:"contacts" few:"1" doc:"who to turn to"`
	FirstAid firstAid  `yaml:"first_aid" doc:"the local health service's own text"`
	Licence  string    `yaml:"licence" doc:"a note on licences and permits for visits"`
}

type contact struct {
	at
	Who  string `yaml:"who" need:"yes" doc:"a name or an office"`
	What string `yaml:"what" doc:"what to turn to them for"`
	How  string `yaml:"how" need:"yes" doc:"how to reach them"`
}

type firstAid struct {
	at
	Text   string `yaml:"text" doc:"the text in force, word for word"`
	Source string `yaml:"source" doc:"where the health service publishes it"`
	Date   day    `yaml:"date" doc:"the day on which it was taken from there"`
	Review day    `yaml:"review" doc:"the day by which it is looked at again"`
	Keeper string `yaml:"keeper" doc:"who enters the text and looks at it again"`
}

// wordingEntry is the wording in place, or the name of a file that holds it.
type wordingEntry struct {
	File string
	wording
}

// wordsElsewhere is wording that sits in a file.
type wordsElsewhere struct {
	File string `yaml:"file" need:"yes" doc:"a YAML file with the wording: the same keys, as one mapping"`
}

func (e *wordingEntry) fromNode(d *document, n ast.Node, path string, r rule) {
	for _, pair := range pairsOf(n) {
		if textOfNode(pair.Key) == "file" {
			var other wordsElsewhere
			d.decodeStruct(n, reflect.ValueOf(&other).Elem(), path)
			e.File, e.at = other.File, at{d, path}
			return
		}
	}
	d.decodeStruct(n, reflect.ValueOf(&e.wording).Elem(), path)
}

func (e *wordingEntry) schema(b *schemaBuilder, r rule) object {
	return object{
		"if":   object{"required": []string{"file"}},
		"then": b.section(reflect.TypeFor[wordsElsewhere]()),
		"else": b.section(reflect.TypeFor[wording]()),
	}
}

// checkWording: a first-aid text is the health service's, so it says where it
// is from and of when it is.
func (r *reading) checkWording() {
	f := &r.file.Wording.FirstAid
	if f.doc == nil {
		return
	}
	if f.Text != "" {
		f.doc.need(f.path, "source", "first-aid text is the health service's own: say where it is published", "`source` is missing")
		f.doc.need(f.path, "date", "the day on which the text was taken from there, as 2026-06-01", "`date` is missing")
	}
	if !f.Review.IsZero() && f.Review.Before(f.Date.Time) {
		f.doc.problem(join(f.path, "review"), "", "it is to be looked at again before it is dated")
	}
	if date := r.file.Area.Date; f.Text != "" && !f.Review.IsZero() && f.Review.Before(date.Time) {
		f.doc.warn(join(f.path, "review"), "ask the health service whether the text still holds", "the first-aid text was to be looked at again by %s", f.Review.Format("2006-01-02"))
	}
}
