package records

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"tussock/layers"
)

// Every term of the Humboldt extension that is read is in the published list
// (TDWG Humboldt Extension Vocabulary, 2025-06-12, http://rs.tdwg.org/eco/terms/).
func TestEffortTermsArePublished(t *testing.T) {
	published := humboldtTerms(t)
	for _, term := range effortTerms {
		if !slices.Contains(published, term) {
			t.Errorf("%s is no term of the Humboldt extension", term)
		}
	}
	for _, term := range eventTerms {
		if slices.Contains(published, term) {
			t.Errorf("%s is a term of the Humboldt extension, and is listed among Darwin Core's", term)
		}
	}
}

// visitMeta describes events of seven columns, efforts of twelve and
// occurrences of four, by the terms' full names.
func visitMeta() string {
	fields := func(namespace string, terms ...string) string {
		var b strings.Builder
		for i, term := range terms {
			b.WriteString(`<field index="` + string(rune('0'+(i+1)/10)) + string(rune('0'+(i+1)%10)) + `" term="` + namespace + term + `"/>`)
		}
		return b.String()
	}
	const dwc, eco = "http://rs.tdwg.org/dwc/terms/", "http://rs.tdwg.org/eco/terms/"
	return `<archive xmlns="http://rs.tdwg.org/dwc/text/"><core rowType="` + dwc + `Event"><files><location>event.csv</location></files><id index="0"/>` +
		fields(dwc, "parentEventID", "eventDate", "eventTime", "decimalLatitude", "decimalLongitude", "locationID", "samplingProtocol") +
		`</core><extension rowType="` + eco + `Event"><files><location>effort.csv</location></files><coreid index="0"/>` + fields(eco, effortTerms...) +
		`</extension><extension rowType="` + dwc + `Occurrence"><files><location>found.csv</location></files><coreid index="0"/>` +
		fields(dwc, "scientificName", "occurrenceStatus", "decimalLatitude", "decimalLongitude") + `</extension></archive>`
}

// readVisits reads an archive of events, efforts and occurrences, which have no
// headers.
func readVisits(t testing.TB, event, effort, found string) Visits {
	t.Helper()
	file := zipFile(t, map[string]string{"meta.xml": visitMeta(), "event.csv": event, "effort.csv": effort, "found.csv": found})
	v, err := ReadVisits(context.Background(), Source{File: file}, layers.WGS84())
	if err != nil {
		t.Fatal(err)
	}
	return v
}

func TestOneVisitInFull(t *testing.T) {
	v := readVisits(t, "e1,,2026-05-02,09:30,51.5,-1.25,pond 4,torching\n",
		"e1,Triturus cristatus | Bufo bufo,,true,true,Bufo bufo,torching | netting,1.5,person-hours,45,minutes,A. Finder | B. Holder,\"mild, still\"\n",
		"e1,Triturus cristatus,present,,\ne1,Lissotriton vulgaris,,51.6,-1.3\n")
	if len(v.Visits) != 1 || len(v.Rejects) > 0 || len(v.Aside) > 0 {
		t.Fatalf("%+v", v)
	}
	one := v.Visits[0]
	if one.ID != "e1" || one.Site != "pond 4" || one.Date.String() != "2026-05-02" || one.Time != "09:30" || one.Point != (orb.Point{-1.25, 51.5}) ||
		!slices.Equal(one.Protocols, []string{"torching", "netting"}) || *one.Effort.Value != 1.5 || one.Effort.Unit != "person-hours" ||
		*one.Duration.Value != 45 || one.Duration.Unit != "minutes" || !slices.Equal(one.By, []string{"A. Finder", "B. Holder"}) || one.Weather != "mild, still" ||
		!slices.Equal(one.Target, []string{"Triturus cristatus", "Bufo bufo"}) || !*one.FullyReported || !*one.AbsenceReported || !slices.Equal(one.Absent, []string{"Bufo bufo"}) {
		t.Errorf("%+v", one)
	}
	if len(one.Finds) != 2 || one.Finds[0].Point != one.Point || one.Finds[1].Point != (orb.Point{-1.3, 51.6}) || one.Finds[0].Date.String() != "2026-05-02" {
		t.Errorf("finds %+v", one.Finds)
	}
	for species, want := range map[string]Result{"Triturus cristatus": Found, "Lissotriton vulgaris": Found, "Bufo bufo": Blank, "Rana temporaria": Silent} {
		if got := one.Result(species, nil); got != want {
			t.Errorf("%s: %v, want %v", species, got, want)
		}
	}
}

// groups of the species in these tests.
func groups(species string) []string {
	switch species {
	case "Vipera berus", "Natrix helvetica":
		return []string{"Reptilia", "Squamata"}
	case "Rana temporaria", "Bufo bufo":
		return []string{"Amphibia", "Anura"}
	}
	return nil
}

// One row for each way in which a visit may speak or be silent. Effort is
// targetTaxonomicScope, excludedTaxonomicScope, isTaxonomicScopeFullyReported,
// isAbsenceReported, absentTaxa.
func TestResults(t *testing.T) {
	for _, c := range []struct {
		effort, found string
		species       string
		want          Result
	}{
		// found
		{"Vipera berus,,true,true,", "Vipera berus,,,", "Vipera berus", Found},
		{"Vipera berus,,true,true,", `"Vipera berus (Linnaeus, 1758)",,,`, "Vipera berus", Found},
		{",,,,", " vipera  berus,,,", "Vipera berus", Found},
		{"Rana temporaria,,,,", "Vipera berus,present,,", "Vipera berus", Found}, // beyond the scope is found all the same
		// blank by scope
		{"Vipera berus,,true,true,", "", "Vipera berus", Blank},
		{"Vipera berus,,,true,", "", "Vipera berus", Blank},
		{"Rana temporaria; Vipera berus Linnaeus,,,yes,", "", "Vipera berus", Blank},
		{"Reptilia,,true,true,", "", "Vipera berus", Blank},
		{"reptilia | Amphibia,,true,1,", "Natrix helvetica,,,", "Vipera berus", Blank},
		{"Vipera,,true,true,", "", "Vipera berus", Blank},
		{"Vipera spp.,,true,true,", "", "Vipera berus", Blank},
		// blank by list
		{"Reptilia,,,,Vipera berus", "", "Vipera berus", Blank},
		{"Reptilia,,,,Reptilia", "", "Vipera berus", Blank},
		{",,,,Vipera berus", "", "Vipera berus", Blank},
		{",,,true,Vipera berus", "", "Vipera berus", Blank},
		{"Reptilia,,true,true,Natrix helvetica", "", "Vipera berus", Blank}, // fully reported
		{"Vipera berus,,,", "Vipera berus,absent,,", "Vipera berus", Blank},
		// silent: not looked for
		{"Rana temporaria,,true,true,", "", "Vipera berus", Silent},
		{"Amphibia,,true,true,", "", "Vipera berus", Silent},
		{"Reptilia,Vipera berus,true,true,", "", "Vipera berus", Silent},
		{"Reptilia,Squamata,true,true,", "", "Vipera berus", Silent},
		{"Rana temporaria,,true,true,Vipera berus", "", "Vipera berus", Silent}, // listed, and not in the scope
		{",,true,true,", "", "Vipera berus", Silent},
		{",,,,", "", "Vipera berus", Silent},
		// silent: not said
		{"Vipera berus,,,,", "", "Vipera berus", Silent},
		{"Vipera berus,,true,,", "", "Vipera berus", Silent},
		{"Vipera berus,,true,false,", "", "Vipera berus", Silent},
		{"Vipera berus,,false,true,", "", "Vipera berus", Silent}, // reported in part
		{"Reptilia,,,true,Natrix helvetica", "", "Vipera berus", Silent},
		{"Vipera berus,,true,perhaps,", "", "Vipera berus", Silent},
		// silent: it may have been it
		{"Vipera berus,,true,true,", "Vipera sp.,,,", "Vipera berus", Silent},
		{"Vipera berus,,true,true,", "Squamata,,,", "Vipera berus", Silent},
		{"Vipera berus,,true,true,", ",,51,1", "Vipera berus", Silent},                   // a find without a name
		{"Vipera berus,,true,true,", "Natrix helvetica,maybe,,", "Vipera berus", Silent}, // nor with a status
		// a find whose place is lost is a find
		{"Vipera berus,,true,true,", "Vipera berus,,95,500", "Vipera berus", Found},
		{"Vipera berus,,true,true,", "Vipera berus,absent,95,500", "Vipera berus", Blank},
	} {
		cells := strings.Split(c.effort, ",")
		effort := "e1," + strings.Join(append(cells, make([]string, 12-len(cells))...), ",") + "\n"
		found := ""
		if c.found != "" {
			found = "e1," + c.found + "\n"
		}
		v := readVisits(t, "e1,,2026-05-02,,51.5,-1.25,,\n", effort, found)
		if len(v.Visits) != 1 {
			t.Errorf("%q with %q: %+v", c.effort, c.found, v.Rejects)
			continue
		}
		if got := v.Visits[0].Result(c.species, groups); got != c.want {
			t.Errorf("%q with %q: %s is %v, want %v", c.effort, c.found, c.species, got, c.want)
		}
	}
}

// Every event is a visit or a reject with its reason, in the order of the source.
func TestEventsThatAreNoVisits(t *testing.T) {
	v := readVisits(t,
		"season,,2026,,51,1,,\n"+ // names its visits
			"e1,season,2026-05-02,,51,1,,\n"+
			",,2026-05-02,,51,1,,\n"+
			"e1,season,2026-05-03,,51,1,,\n"+
			"e2,season,2026-05-02,,,,,\n"+
			"e3,season,02/05/2026,,51,1,,\n"+
			"e4,season,2026-05-02,,51,1\n"+
			"e5,season,2026-05-02,,51,1,,\n"+
			"e6,season,2026-05-02,,51,1,,\n"+
			"e7,season,,,51,1,,\n",
		"e5,Vipera berus,,true,true,Vipera berus,,,,,,,\ne6,Vipera berus,,true,false,Vipera berus,,,,,,,\n",
		"e5,Vipera berus L.,present,,\nseason,Bufo bufo,,,\ne9,Bufo bufo,,,\n")
	var ids []string
	for _, visit := range v.Visits {
		ids = append(ids, visit.ID)
		if visit.Parent != "season" {
			t.Errorf("%s: parent %q", visit.ID, visit.Parent)
		}
	}
	if !slices.Equal(ids, []string{"e1", "e7"}) || len(v.Visits)+len(v.Rejects) != 10 || v.Visits[1].Date.Known() {
		t.Errorf("visits %q of %d", ids, len(v.Visits)+len(v.Rejects))
	}
	var reasons []Reason
	for _, r := range v.Rejects {
		reasons = append(reasons, r.Reason)
		if r.Words == "" || len(r.Row) == 0 || r.Source.Line == 0 {
			t.Errorf("%+v", r)
		}
	}
	want := []Reason{GroupEvent, MissingEvent, DuplicateEvent, MissingCoordinate, BadDate, TooFewColumns, Contradictory, AbsenceDisputed}
	if !slices.Equal(reasons, want) {
		t.Errorf("%q, want %q", reasons, want)
	}
	if len(v.Aside) != 1 || v.Aside[0].Reason != NoCoreRow || !slices.Contains(v.Notes, "2 finds belong to events that are no visits") {
		t.Errorf("%+v, %q", v.Aside, v.Notes)
	}
}

// Efforts that are no numbers, and words that are neither true nor false, say
// nothing, and are noted.
func TestWhatSaysNothing(t *testing.T) {
	v := readVisits(t, "e1,,2026-05-02,,51.5,-1.25,,walk\n", "e1,Reptilia,,maybe,si,,,two,hours,0,minutes,,\n", "")
	one := v.Visits[0]
	if one.Effort != (Quantity{}) || one.Duration != (Quantity{}) || one.FullyReported != nil || one.AbsenceReported != nil ||
		!slices.Contains(one.Notes, noteFlag) || !slices.Contains(one.Notes, noteQuantity) || !slices.Equal(one.Protocols, []string{"walk"}) {
		t.Errorf("%+v", one)
	}
}

// Records without visits are never visits, however they are packed.
func TestRecordsAreNoVisits(t *testing.T) {
	table := filepath.Join(t.TempDir(), "records.csv")
	if err := os.WriteFile(table, []byte("scientificName,decimalLatitude,decimalLongitude\nVipera berus,51,1\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	for name, file := range map[string]string{
		"a table": table, "a folder": filepath.Dir(table), "a zip of a table": zipFile(t, map[string]string{"r.csv": "a,b\n"}),
		"an archive of occurrences": zipFile(t, map[string]string{"meta.xml": occurrenceMeta, "occurrence.txt": occurrenceText}),
	} {
		if _, err := ReadVisits(context.Background(), Source{File: file}, layers.WGS84()); !errors.Is(err, ErrNoVisits) || !strings.Contains(err.Error(), "hint:") {
			t.Errorf("%s: %v", name, err)
		}
	}
	if _, err := ReadVisits(context.Background(), Source{File: "nothing.zip"}, layers.WGS84()); !errors.Is(err, os.ErrNotExist) {
		t.Error(err)
	}
}

// Without a table of occurrences nobody knows what was met: only a listed taxon
// is a blank. Without the Humboldt extension everything else is silent.
func TestVisitsWithoutTables(t *testing.T) {
	meta := visitMeta()
	occurrences := meta[:strings.LastIndex(meta, "<extension")] + "</archive>"
	read := func(meta string, more map[string]string) Visits {
		more["meta.xml"], more["event.csv"] = meta, "e1,,2026-05-02,,51.5,-1.25,,\n"
		v, err := ReadVisits(context.Background(), Source{File: zipFile(t, more)}, layers.WGS84())
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
	v := read(occurrences, map[string]string{"effort.csv": "e1,Reptilia,,true,true,Natrix helvetica,,,,,,,\n"})
	if v.Visits[0].Result("Vipera berus", groups) != Silent || v.Visits[0].Result("Natrix helvetica", groups) != Blank || len(v.Notes) == 0 {
		t.Errorf("%+v", v)
	}
	first, last := strings.Index(meta, "<extension"), strings.LastIndex(meta, "<extension")
	v = read(meta[:first]+meta[last:], map[string]string{"found.csv": "e1,Vipera berus,,,\n"})
	if v.Visits[0].Result("Vipera berus", nil) != Found || v.Visits[0].Result("Natrix helvetica", nil) != Silent || len(v.Notes) == 0 {
		t.Errorf("%+v", v)
	}
}

// A folder is read as its zip is.
func TestVisitsInAFolder(t *testing.T) {
	files := map[string]string{"meta.xml": visitMeta(), "event.csv": "e1,,2026-05-02,,51.5,-1.25,,\n", "effort.csv": "", "found.csv": "e1,Vipera berus,,,\n"}
	v, err := ReadVisits(context.Background(), Source{File: folderOf(t, files)}, layers.WGS84())
	if err != nil || len(v.Visits) != 1 || len(v.Visits[0].Finds) != 1 {
		t.Errorf("%+v, %v", v, err)
	}
}

func FuzzVisits(f *testing.F) {
	f.Add("e1,,2026-05-02,,51.5,-1.25,,\n", "e1,Reptilia,,true,true,,,,,,,,\n", "e1,Vipera berus,,,\n")
	f.Add("e1,e1,2026,,,,,\n\"", "e1", ",,,,\n")
	f.Fuzz(func(t *testing.T, event, effort, found string) {
		file := zipFile(t, map[string]string{"meta.xml": visitMeta(), "event.csv": event, "effort.csv": effort, "found.csv": found})
		v, err := ReadVisits(context.Background(), Source{File: file}, layers.WGS84())
		if err != nil {
			return
		}
		for _, visit := range v.Visits {
			if visit.ID == "" || visit.Result("Vipera berus", groups) > Found {
				t.Errorf("%+v", visit)
			}
		}
	})
}
