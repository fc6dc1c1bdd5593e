package records

import (
	"archive/zip"
	"bytes"
	"context"
	"encoding/csv"
	"errors"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"tussock/layers"
)

// The meta.xml texts here follow the examples and rules of the Darwin Core text
// guide (Darwin Core Maintenance Group, TDWG 2021).

const occurrenceMeta = `<?xml version="1.0" encoding="UTF-8"?>
<archive xmlns="http://rs.tdwg.org/dwc/text/">
  <core encoding="UTF-8" fieldsTerminatedBy="\t" linesTerminatedBy="\n" fieldsEnclosedBy="" ignoreHeaderLines="1" rowType="http://rs.tdwg.org/dwc/terms/Occurrence">
    <files><location>occurrence.txt</location></files>
    <id index="0"/>
    <field index="0" term="http://rs.tdwg.org/dwc/terms/occurrenceID"/>
    <field index="1" term="http://rs.tdwg.org/dwc/terms/scientificName"/>
    <field index="2" term="http://rs.tdwg.org/dwc/terms/decimalLatitude"/>
    <field index="3" term="http://rs.tdwg.org/dwc/terms/decimalLongitude"/>
    <field index="5" term="http://rs.tdwg.org/dwc/terms/basisOfRecord" default="HumanObservation"/>
    <field term="http://rs.tdwg.org/dwc/terms/geodeticDatum" default="WGS84"/>
  </core>
</archive>`

const occurrenceText = "id\tname\tlat\tlon\tunmapped\tbasis\n" +
	"o1\tVipera berus\t51.5\t-1.25\tkept\tPreservedSpecimen\n" +
	"o2\tNatrix \"helvetica\t51.6\t-1.5\t\t\n" +
	"o3\tNatrix helvetica\t51.6\n"

const eventMeta = `<archive xmlns="http://rs.tdwg.org/dwc/text/" metadata="eml.xml">
  <core rowType="http://rs.tdwg.org/dwc/terms/Event" ignoreHeaderLines="1">
    <files><location>event.csv</location></files>
    <id index="0"/>
    <field index="0" term="http://rs.tdwg.org/dwc/terms/eventID"/>
    <field index="1" term="http://rs.tdwg.org/dwc/terms/eventDate"/>
    <field index="2" term="http://rs.tdwg.org/dwc/terms/decimalLatitude"/>
    <field index="3" term="http://rs.tdwg.org/dwc/terms/decimalLongitude"/>
  </core>
  <extension rowType="http://rs.tdwg.org/dwc/terms/Occurrence" ignoreHeaderLines="1">
    <files><location>occ/part1.csv</location><location>occ/part2.csv</location></files>
    <coreid index="0"/>
    <field index="1" term="http://rs.tdwg.org/dwc/terms/scientificName"/>
    <field index="2" term="http://rs.tdwg.org/dwc/terms/occurrenceStatus"/>
    <field index="3" term="http://rs.tdwg.org/dwc/terms/eventDate"/>
  </extension>
  <extension rowType="http://rs.tdwg.org/eco/terms/Event">
    <files><location>effort.csv</location></files>
    <coreid index="0"/>
    <field index="1" term="http://rs.tdwg.org/eco/terms/samplingEffortValue"/>
    <field index="2" term="http://rs.tdwg.org/eco/terms/samplingEffortUnit"/>
  </extension>
  <extension rowType="http://rs.gbif.org/terms/1.0/Multimedia">
    <files><location>media.csv</location></files><coreid index="0"/>
  </extension>
</archive>`

var eventFiles = map[string]string{
	"meta.xml":      eventMeta,
	"event.csv":     "id,date,lat,lon\ne1,2024-05-01,51.5,-1.25\ne2,2024-05-02,0,0\ne1,2020,1,1\n",
	"occ/part1.csv": "coreid,name,status,date\ne1,Vipera berus,present,2024-05-01T10:00\ne1,Natrix helvetica,absent,\n",
	"occ/part2.csv": "coreid,name,status,date\ne2,Vipera berus,,\ne9,Vipera berus,,\n",
	"effort.csv":    "e1,90,minutes\n",
	"media.csv":     "",
}

func zipOf(t testing.TB, files map[string]string) []byte {
	t.Helper()
	var b bytes.Buffer
	w := zip.NewWriter(&b)
	for name, text := range files {
		f, err := w.Create(name)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := f.Write([]byte(text)); err != nil {
			t.Fatal(err)
		}
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func zipFile(t testing.TB, files map[string]string) string {
	t.Helper()
	name := filepath.Join(t.TempDir(), "records.zip")
	if err := os.WriteFile(name, zipOf(t, files), 0o600); err != nil {
		t.Fatal(err)
	}
	return name
}

func folderOf(t testing.TB, files map[string]string) string {
	t.Helper()
	folder := t.TempDir()
	for name, text := range files {
		file := filepath.Join(folder, name)
		if err := os.MkdirAll(filepath.Dir(file), 0o700); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(file, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	return folder
}

func TestArchiveOfOccurrences(t *testing.T) {
	files := map[string]string{"meta.xml": occurrenceMeta, "occurrence.txt": occurrenceText}
	nested := map[string]string{"mine/meta.xml": occurrenceMeta, "mine/occurrence.txt": occurrenceText, "__MACOSX/x": ""}
	for form, file := range map[string]string{"zip": zipFile(t, files), "folder": folderOf(t, files), "zipped folder": zipFile(t, nested)} {
		set, err := Read(context.Background(), Source{File: file}, layers.WGS84())
		if err != nil {
			t.Fatalf("%s: %v", form, err)
		}
		if len(set.Records) != 2 || len(set.Rejects) != 1 || set.Rejects[0].Reason != TooFewColumns || set.Rejects[0].Source.Line != 4 {
			t.Fatalf("%s: %+v", form, set)
		}
		a, b := set.Records[0], set.Records[1]
		if a.ID != "o1" || a.Point != (orb.Point{-1.25, 51.5}) || a.Basis != "PreservedSpecimen" || len(a.Notes) != 0 || a.Raw["column 5"] != "kept" {
			t.Errorf("%s: %+v", form, a)
		}
		if b.Basis != "HumanObservation" || b.Species != `Natrix "helvetica` || b.Source.Line != 3 {
			t.Errorf("%s: %+v", form, b)
		}
	}
}

// Occurrences of an event core take the place, the date and the effort from
// their event.
func TestArchiveOfEvents(t *testing.T) {
	set, err := Read(context.Background(), Source{File: zipFile(t, eventFiles)}, layers.WGS84())
	if err != nil {
		t.Fatal(err)
	}
	if len(set.Records) != 2 || len(set.Rejects) != 2 {
		t.Fatalf("%+v", set)
	}
	a, b := set.Records[0], set.Records[1]
	if a.Point != (orb.Point{-1.25, 51.5}) || a.Date.String() != "2024-05-01" || a.Raw["samplingEffortValue"] != "90" || a.Raw["eventDate"] != "2024-05-01T10:00" || a.Raw["eventDate [core]"] != "2024-05-01" {
		t.Errorf("%+v", a)
	}
	if b.Status != Absent || b.Date.String() != "2024-05-01" {
		t.Errorf("%+v", b)
	}
	if set.Rejects[0].Reason != ZeroCoordinate || set.Rejects[1].Reason != NoCoreRow || !strings.HasSuffix(set.Rejects[1].Source.String(), filepath.Join("occ", "part2.csv")+":3") {
		t.Errorf("%+v", set.Rejects)
	}
	if !slices.ContainsFunc(set.Notes, func(n string) bool { return strings.Contains(n, "repeat an id") }) || !slices.Contains(set.Notes, "extension left aside: Multimedia") {
		t.Errorf("notes %q", set.Notes)
	}
}

// Every term of the Humboldt extension comes through under its own name.
func TestArchiveKeepsHumboldtTerms(t *testing.T) {
	terms := humboldtTerms(t)
	meta, cells := strings.Builder{}, []string{"e1"}
	meta.WriteString(`<archive><core rowType="http://rs.tdwg.org/dwc/terms/Event"><files><location>e.csv</location></files><id index="0"/>` +
		`<field index="1" term="http://rs.tdwg.org/dwc/terms/decimalLatitude"/><field index="2" term="http://rs.tdwg.org/dwc/terms/decimalLongitude"/></core>` +
		`<extension rowType="http://rs.tdwg.org/dwc/terms/Occurrence"><files><location>o.csv</location></files><coreid index="0"/><field index="1" term="http://rs.tdwg.org/dwc/terms/scientificName"/></extension>` +
		`<extension rowType="http://rs.tdwg.org/eco/terms/Event"><files><location>h.csv</location></files><coreid index="0"/>`)
	for i, term := range terms {
		meta.WriteString(`<field index="` + string(rune('0'+(i+1)/10)) + string(rune('0'+(i+1)%10)) + `" term="http://rs.tdwg.org/eco/terms/` + term + `"/>`)
		cells = append(cells, "value of "+term)
	}
	meta.WriteString(`</extension></archive>`)
	file := zipFile(t, map[string]string{"meta.xml": meta.String(), "e.csv": "e1,51,1\n", "o.csv": "e1,Vipera berus\n", "h.csv": strings.Join(cells, ",") + "\n"})
	set, err := Read(context.Background(), Source{File: file}, layers.WGS84())
	if err != nil || len(set.Records) != 1 {
		t.Fatalf("%+v, %v", set, err)
	}
	for _, term := range terms {
		if got := set.Records[0].Raw[term]; got != "value of "+term {
			t.Errorf("%s: %q", term, got)
		}
	}
}

// humboldtTerms are the published terms; the file names some of them twice.
func humboldtTerms(t *testing.T) []string {
	t.Helper()
	f, err := os.Open("testdata/humboldt_terms.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var terms []string
	for _, row := range rows {
		if !slices.Contains(terms, row[0]) {
			terms = append(terms, row[0])
		}
	}
	if len(terms) < 50 || len(terms) > 99 {
		t.Fatalf("%d terms", len(terms))
	}
	return terms
}

func TestArchiveRefusals(t *testing.T) {
	with := func(old, new string) map[string]string {
		return map[string]string{"meta.xml": strings.Replace(occurrenceMeta, old, new, 1), "occurrence.txt": occurrenceText}
	}
	for name, c := range map[string]struct {
		files map[string]string
		words string
	}{
		"path out of it":    {with(">occurrence.txt<", ">../../etc/passwd<"), "leads out"},
		"absolute path":     {with(">occurrence.txt<", ">/etc/passwd<"), "leads out"},
		"backslash":         {with(">occurrence.txt<", `>..\x.txt<`), "leads out"},
		"network":           {with(">occurrence.txt<", ">http://example.org/o.txt<"), "network"},
		"missing file":      {with(">occurrence.txt<", ">other.txt<"), "other.txt"},
		"no rowType":        {with("rowType=", "type="), "no rowType"},
		"no occurrences":    {with("terms/Occurrence", "terms/Taxon"), "none of its tables"},
		"index too large":   {with(`index="5"`, `index="99999999999"`), "index"},
		"index below 0":     {with(`index="5"`, `index="-1"`), "index"},
		"neither":           {with(` default="WGS84"`, ""), "neither index nor default"},
		"delimiter":         {with(`fieldsTerminatedBy="\t"`, `fieldsTerminatedBy="::"`), "fieldsTerminatedBy"},
		"line end":          {with(`linesTerminatedBy="\n"`, `linesTerminatedBy="#"`), "linesTerminatedBy"},
		"header":            {with(`ignoreHeaderLines="1"`, `ignoreHeaderLines="many"`), "ignoreHeaderLines"},
		"encoding":          {with(`encoding="UTF-8" fields`, `encoding="Klingon" fields`), "Klingon"},
		"two cores":         {with("</archive>", `<core rowType="x"/></archive>`), "2 core elements"},
		"extension, no id":  {with("<id index=\"0\"/>", ""), ""},
		"broken XML":        {with("</archive>", ""), "meta.xml"},
		"not an archive":    {with("archive", "box"), "meta.xml"},
		"meta.xml too long": {with("</archive>", "<!--"+strings.Repeat("x", metaFileBytes)+"--></archive>"), "longer"},
	} {
		_, err := Read(context.Background(), Source{File: zipFile(t, c.files)}, layers.WGS84())
		if name == "extension, no id" {
			if err != nil {
				t.Errorf("an archive without extensions needs no id: %v", err)
			}
			continue
		}
		if !errors.Is(err, ErrArchive) || !strings.Contains(err.Error(), c.words) {
			t.Errorf("%s: %v says nothing of %q", name, err, c.words)
		}
	}
}

func TestArchiveFolderLinkOutside(t *testing.T) {
	folder := folderOf(t, map[string]string{"meta.xml": occurrenceMeta})
	outside := filepath.Join(t.TempDir(), "outside.txt")
	if err := os.WriteFile(outside, []byte(occurrenceText), 0o600); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink(outside, filepath.Join(folder, "occurrence.txt")); err != nil {
		t.Skip(err)
	}
	if set, err := Read(context.Background(), Source{File: folder}, layers.WGS84()); !errors.Is(err, ErrArchive) {
		t.Errorf("a link led out of the folder: %+v, %v", set, err)
	}
}

func TestArchiveBomb(t *testing.T) {
	t.Parallel()
	blank := strings.Repeat(strings.Repeat(" ", 999)+"\n", freeUnpacked/1000+1000)
	file := zipFile(t, map[string]string{"meta.xml": occurrenceMeta, "occurrence.txt": blank})
	if _, err := Read(context.Background(), Source{File: file}, layers.WGS84()); !errors.Is(err, ErrArchive) || !strings.Contains(err.Error(), "unpacks") {
		t.Errorf("%v", err)
	}
}

func TestZippedTable(t *testing.T) {
	file := zipFile(t, map[string]string{"records.csv": "scientificName,lon,lat\nV,1,2\n"})
	set, err := Read(context.Background(), Source{File: file}, layers.WGS84())
	if err != nil || len(set.Records) != 1 || set.Records[0].Source.String() != filepath.Join(file, "records.csv")+":2" {
		t.Errorf("%+v, %v", set, err)
	}
}
