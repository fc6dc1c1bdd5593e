package life

import (
	"fmt"
	"time"

	"github.com/paulmach/orb"

	"tussock/layers"
)

// Record is an occurrence record as somebody sent it in.
type Record struct {
	ID      string
	Species *Species  // as it is named
	At      orb.Point // as it was meant to be written, in the grid's CRS
	Day     time.Time

	Uncertainty int // m; 0 is not stated
	Decimals    int // of longitude and latitude
	Precision   string
	Count       int
	Stage       string
	Recorder    string
	Protocol    string
	Remarks     string
	Generalised string
	Withheld    string

	Defect Defect
	Words  string // what the defect is

	latitude, longitude string // as they were written
	old                 bool   // from a place where the species once was
}

// Defect is a planted mistake.
type Defect string

// The defects.
const (
	Sound       Defect = ""
	Swapped     Defect = "swapped axes"
	Centroid    Defect = "centroid"
	Unstated    Defect = "missing uncertainty"
	Drowned     Defect = "land species in open water"
	OffSeason   Defect = "out of season"
	Repeated    Defect = "duplicate"
	Misnamed    Defect = "look-alike outside the range"
	DefaultDay  Defect = "default date"
	Zero        Defect = "zero coordinates"
	Future      Defect = "future date"
	Generalised Defect = "generalised"
)

// recordHeader are Darwin Core terms (TDWG, Darwin Core Quick Reference Guide).
var recordHeader = []string{
	"occurrenceID", "basisOfRecord", "scientificName", "vernacularName", "eventDate", "decimalLatitude", "decimalLongitude", "geodeticDatum",
	"coordinateUncertaintyInMeters", "coordinatePrecision", "individualCount", "lifeStage", "occurrenceStatus", "recordedBy",
	"samplingProtocol", "occurrenceRemarks", "dataGeneralizations", "informationWithheld",
}

func writeRecords(path string, l *Life) error {
	rows := [][]string{recordHeader}
	for _, r := range l.Records {
		rows = append(rows, r.row())
	}
	return writeTable(path, rows)
}

func (r *Record) row() []string {
	return []string{
		r.ID, "HumanObservation", r.Species.Scientific, r.Species.Common, r.Day.Format(time.DateOnly), r.latitude, r.longitude, "EPSG:4326",
		orBlank(r.Uncertainty), r.Precision, orBlank(r.Count), r.Stage, "present", r.Recorder,
		r.Protocol, r.Remarks, r.Generalised, r.Withheld,
	}
}

func orBlank(n int) string {
	if n == 0 {
		return ""
	}
	return fmt.Sprint(n)
}

// write turns places into the text of longitude and latitude, to each record's
// decimals.
func (l *Life) write(all []Record) {
	xs, ys := make([]float64, len(all)), make([]float64, len(all))
	for i, r := range all {
		xs[i], ys[i] = r.At[0], r.At[1]
	}
	l.toDegrees(xs, ys)
	for i := range all {
		r := &all[i]
		r.longitude, r.latitude = fmt.Sprintf("%.*f", r.Decimals, xs[i]), fmt.Sprintf("%.*f", r.Decimals, ys[i])
	}
}

// toDegrees brings places from the grid's CRS to longitude and latitude.
func (l *Life) toDegrees(xs, ys []float64) { l.carry(l.ground.d.Grid.CRS, layers.WGS84(), xs, ys) }

// toGrid brings places from longitude and latitude to the grid's CRS.
func (l *Life) toGrid(xs, ys []float64) { l.carry(layers.WGS84(), l.ground.d.Grid.CRS, xs, ys) }

// carry panics where a transform fails: both systems and all places are ours.
func (l *Life) carry(from, to layers.CRS, xs, ys []float64) {
	t, err := layers.NewTransform(from, to)
	if err == nil {
		err = t.Points(xs, ys)
	}
	if err == nil {
		err = t.Close()
	}
	if err != nil {
		panic(err)
	}
}
