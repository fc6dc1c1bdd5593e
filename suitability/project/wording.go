package project

import "time"

// Wording is what the charity says in its own words.
type Wording struct {
	Cautions []string // what everyone who goes out is told
	Contacts []Contact
	FirstAid FirstAid
	Licence  string // a note on licences and permits for visits
}

// Contact is who to turn to.
type Contact struct{ Who, What, How string }

// FirstAid is the local health service's own text, as somebody entered it. The
// program writes none.
type FirstAid struct {
	Text   string
	Source string    // where the health service publishes it
	Date   time.Time // the day on which it was taken from there
	Review time.Time // the day by which it is looked at again; zero where nothing was said
	Keeper string    // who enters the text and looks at it again
}

// NoFirstAid is shown where nobody has entered a first-aid text.
const NoFirstAid = "Ask the local health service for its present text; none has been entered here."

// Words are the text that was entered, or [NoFirstAid].
func (f FirstAid) Words() string {
	if f.Text == "" {
		return NoFirstAid
	}
	return f.Text
}

// readWording reads the wording of a file of its own.
func (r *reading) readWording() {
	e := &r.file.Wording
	if e.doc == nil || e.File == "" {
		return
	}
	if d := r.readNamed(e.at, e.File); d != nil {
		d.decode(d.root, valueOf(&e.wording), "", rule{})
	}
}

func (w *wording) model() Wording {
	built := Wording{Cautions: w.Cautions, Licence: w.Licence}
	for _, c := range w.Contacts {
		built.Contacts = append(built.Contacts, Contact{c.Who, c.What, c.How})
	}
	f := &w.FirstAid
	built.FirstAid = FirstAid{Text: f.Text, Source: f.Source, Date: f.Date.Time, Review: f.Review.Time, Keeper: f.Keeper}
	return built
}
