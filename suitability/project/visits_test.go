package project

import (
	"context"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"tussock/layers/records"
)

const visitArchive = `<archive xmlns="http://rs.tdwg.org/dwc/text/">
<core rowType="http://rs.tdwg.org/dwc/terms/Event"><files><location>event.csv</location></files><id index="0"/>
<field index="1" term="http://rs.tdwg.org/dwc/terms/eventDate"/><field index="2" term="http://rs.tdwg.org/dwc/terms/decimalLatitude"/>
<field index="3" term="http://rs.tdwg.org/dwc/terms/decimalLongitude"/></core>
<extension rowType="http://rs.tdwg.org/eco/terms/Event"><files><location>effort.csv</location></files><coreid index="0"/>
<field index="1" term="http://rs.tdwg.org/eco/terms/targetTaxonomicScope"/><field index="2" term="http://rs.tdwg.org/eco/terms/isAbsenceReported"/></extension>
<extension rowType="http://rs.tdwg.org/dwc/terms/Occurrence"><files><location>found.csv</location></files><coreid index="0"/>
<field index="1" term="http://rs.tdwg.org/dwc/terms/scientificName"/></extension></archive>`

// A project's visits are brought to its grid, held against its date, and speak of
// a species by its group.
func TestProjectVisits(t *testing.T) {
	folder := t.TempDir()
	data, err := filepath.Abs("../../testdata/bei/utm_nominal")
	if err != nil {
		t.Fatal(err)
	}
	text, err := os.ReadFile("testdata/valid/bei.yaml")
	if err != nil {
		t.Fatal(err)
	}
	yaml := strings.ReplaceAll(string(text), "../../../../testdata/bei/utm_nominal", data)
	yaml = strings.Replace(yaml, "rule: arithmetic", "rule: arithmetic\n    group: amphibian", 1) + "visits: [{source: seen}, {source: seen}]\n"
	for name, text := range map[string]string{
		"tussock.yaml": yaml, "seen/meta.xml": visitArchive, "seen/event.csv": "e1,2026-05-01,9.1466,-79.8578\ne2,2026-05-02,9.1466,-79.8578\ne3,2026-07-01,9.1466,-79.8578\n",
		"seen/effort.csv": "e1,Amphibia,true\ne2,amphibians,true\n", "seen/found.csv": "e2,Beilschmiedia pendula\n",
	} {
		path := filepath.Join(folder, name)
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	o, err := Open(context.Background(), folder)
	if err != nil {
		t.Fatal(err)
	}
	defer o.Close()
	sets, err := o.Visits(context.Background())
	if err != nil || len(sets) != 2 {
		t.Fatalf("%d sources, %v", len(sets), err)
	}
	for _, set := range sets {
		if len(set.Visits) != 2 || len(set.Rejects) != 1 || set.Rejects[0].Reason != records.FutureDate {
			t.Fatalf("%+v", set)
		}
		at := set.Visits[0].Point
		if col, row := o.Grid.CellAt(at); col < 0 || row < 0 || col >= o.Grid.Cols || row >= o.Grid.Rows {
			t.Errorf("%v is not on the grid", at)
		}
		for i, want := range []records.Result{records.Blank, records.Found} {
			if got := set.Visits[i].Result("Beilschmiedia pendula", o.VisitGroups); got != want {
				t.Errorf("visit %d: %v, want %v", i+1, got, want)
			}
		}
	}
	if groups := o.VisitGroups("Beilschmiedia pendula"); !slices.Contains(groups, "Amphibia") || o.VisitGroups("Nemo nullius") != nil {
		t.Errorf("groups %q", groups)
	}
}
