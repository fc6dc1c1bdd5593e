package life

import (
	"math"
	"testing"
	"time"

	"tussock/cmd/averholt/land"
	"tussock/layers/records"
)

func TestRecordsAreCountedAndBiased(t *testing.T) {
	l := averholt()
	sound, near, outside, recent, unseen := 0, 0, 0, 0, 0
	for _, r := range l.Records {
		if r.Defect != Sound {
			continue
		}
		sound++
		if l.isNear(r.At) {
			near++
		}
		if l.documented(r.Species, r.At) > 0 {
			outside++
		}
		if r.Day.After(Reference.AddDate(-10, 0, 0)) {
			recent++
		}
		if !r.old && !l.occupiedWithin(r) {
			unseen++
		}
	}
	if sound != soundRecords || len(l.Records) != soundRecords+defectRecords {
		t.Errorf("%d sound records of %d", sound, len(l.Records))
	}
	if share := float64(near) / float64(sound); math.Abs(share-nearShare) > 0.04 {
		t.Errorf("%.3f of the sound records lie near roads and gardens", share)
	}
	if float64(outside) > 0.02*float64(sound) || outside == 0 {
		t.Errorf("%d sound records lie outside the drawn range", outside)
	}
	if share := float64(recent) / float64(sound); share < 0.6 || share > 0.9 {
		t.Errorf("%.3f are of the last ten years", share)
	}
	if unseen > 0 {
		t.Errorf("%d sound records are from where the species is not", unseen)
	}
}

// occupiedWithin tells whether a record's species truly lives within its
// uncertainty, a cell's half diagonal allowed.
func (l *Life) occupiedWithin(r Record) bool {
	occupied := l.truthOf(r.Species).Occupied
	reach := float64(r.Uncertainty) + land.Cell
	col, row := district().CellOf(r.At)
	n := int(reach/land.Cell) + 1
	for dr := -n; dr <= n; dr++ {
		for dc := -n; dc <= n; dc++ {
			if inside(col+dc, row+dr) && occupied[district().Index(col+dc, row+dr)] && apart(district().Grid.Centre(col+dc, row+dr), r.At) <= reach {
				return true
			}
		}
	}
	return false
}

// Every planted defect is listed and is what its name says; records without one
// are free of all of them. Cleaning may be clever later: here each is looked at
// by hand.
func TestDefectsAreWhatTheySay(t *testing.T) {
	listed := map[string]string{}
	for _, row := range readTable(t, "truth/defects.csv")[1:] {
		listed[row[0]] = row[1]
		if row[2] == "" {
			t.Errorf("%s has no words", row[0])
		}
	}
	l, kinds := averholt(), map[Defect]int{}
	for _, r := range l.Records {
		if listed[r.ID] != string(r.Defect) {
			t.Errorf("%s is listed as %q, not %q", r.ID, listed[r.ID], r.Defect)
		}
		kinds[r.Defect]++
		for _, d := range allDefects {
			if has := l.hasDefect(r, d); has != (r.Defect == d) {
				t.Errorf("%s (%s, %s, %q): %s is %v", r.ID, r.Species.ID, r.Day.Format(time.DateOnly), r.Defect, d, has)
			}
		}
	}
	if len(listed) != defectRecords || len(kinds) != len(allDefects)+1 {
		t.Errorf("%d defects of %d kinds", len(listed), len(kinds)-1)
	}
}

var allDefects = []Defect{Swapped, Centroid, Unstated, Drowned, OffSeason, Repeated, Misnamed, DefaultDay, Zero, Future, Generalised}

func (l *Life) hasDefect(r Record, d Defect) bool {
	switch d {
	case Swapped:
		return len(r.latitude) > 0 && r.latitude[0] != '5' && r.latitude != "0"
	case Centroid:
		return l.onCentre(r)
	case Unstated:
		return r.Uncertainty == 0
	case Drowned:
		return !r.Species.inWater && l.afloat(r)
	case OffSeason:
		_, week := r.Day.ISOWeek()
		return (week < r.Species.weeks[0] || week > r.Species.weeks[1]) && r.Day.YearDay() != 1
	case Repeated:
		return l.tellsAgain(r)
	case Misnamed:
		return r.Defect != Generalised && l.documented(r.Species, r.At) > 2*justOutside && !r.old
	case DefaultDay:
		return r.Day.YearDay() == 1
	case Zero:
		return r.latitude == "0" && r.longitude == "0"
	case Future:
		return r.Day.After(Reference)
	}
	return r.Generalised != ""
}

// onCentre: within 10 m of a name, or of the middle of a square of 1 km, with an
// uncertainty that is too small for it.
func (l *Life) onCentre(r Record) bool {
	return r.Uncertainty < 500 && (l.nearPlace(r.At, 10) || apart(r.At, squareOf(r.At, 1000)) < 1)
}

// afloat: everything within the uncertainty, and 50 m, is open water.
func (l *Life) afloat(r Record) bool {
	i, ok := l.cellOf(r.At)
	return ok && float64(l.shore.at[i]) > max(float64(r.Uncertainty), 50)+land.Cell/2
}

// tellsAgain: an earlier record of the same species, day and recorder lies
// within 25 m.
func (l *Life) tellsAgain(r Record) bool {
	for _, o := range l.Records {
		if o.ID < r.ID && o.Species == r.Species && o.Recorder == r.Recorder && o.Day.Equal(r.Day) && apart(o.At, r.At) <= 25 {
			return true
		}
	}
	return false
}

// Sound records give no cause for a second look by accident.
func TestSoundRecordsLookSound(t *testing.T) {
	spots := map[[2]string]int{}
	for _, r := range averholt().Records {
		if r.Defect != Sound {
			continue
		}
		if spots[[2]string{r.latitude, r.longitude}]++; spots[[2]string{r.latitude, r.longitude}] > 2 {
			t.Errorf("%s is the third from one spot", r.ID)
		}
		if r.Day.Day() == 1 {
			t.Errorf("%s is from the first of a month", r.ID)
		}
		if i, ok := averholt().cellOf(r.At); !ok || !r.Species.inWater && district().Cover[i] == land.OpenWater {
			t.Errorf("%s lies in the water", r.ID)
		}
		if r.Uncertainty <= 0 || r.Recorder == "" || r.Recorder[0] != 'R' {
			t.Errorf("%s: uncertainty %d, recorder %q", r.ID, r.Uncertainty, r.Recorder)
		}
	}
}

// The reader takes every row but the ones that were planted to be refused.
func TestRecordsAreRead(t *testing.T) {
	set := readAll(t, "records.csv")
	reasons := map[records.Reason]int{}
	for _, r := range set.Rejects {
		reasons[r.Reason]++
	}
	if set.Rows() != 400 || len(set.Rejects) != 2 || reasons[records.ZeroCoordinate] != 1 || reasons[records.FutureDate] != 1 {
		t.Errorf("%d rows, rejects %v", set.Rows(), reasons)
	}
	byID := map[string]Record{}
	for _, r := range averholt().Records {
		byID[r.ID] = r
	}
	for _, got := range set.Records {
		want := byID[got.ID]
		if got.Species != want.Species.Scientific || got.Date.String() != want.Day.Format(time.DateOnly) {
			t.Errorf("%s: %s on %s", got.ID, got.Species, got.Date)
		}
		// A place is written to the decimals that its uncertainty allows.
		if off := apart(got.Point, want.At); want.Defect != Swapped && want.Defect != Generalised && off > 1 {
			t.Errorf("%s lies %.1f m off", got.ID, off)
		}
	}
}
