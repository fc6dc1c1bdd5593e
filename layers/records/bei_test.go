package records

import (
	"context"
	"encoding/csv"
	"math"
	"os"
	"slices"
	"strconv"
	"testing"

	"github.com/paulmach/orb"
	"tussock/layers"
)

const (
	beiLocal = "../../testdata/bei/occurrences.csv"
	beiUTM   = "../../testdata/bei/utm_nominal/occurrences.csv"
	beiTrees = 3604 // README.md beside the data
)

// plotCRS is the engineering CRS that the plot's own rasters carry.
const plotCRS = `ENGCRS["BCI plot local grid (m)",EDATUM[""],CS[Cartesian,2],AXIS["(E)",east,ORDER[1]],AXIS["(N)",north,ORDER[2]],LENGTHUNIT["metre",1]]`

func readAll(t *testing.T, s Source, to layers.CRS) []Record {
	t.Helper()
	set, err := Read(context.Background(), s, to)
	if err != nil {
		t.Fatal(err)
	}
	if len(set.Records) != beiTrees || len(set.Rejects) != 0 {
		t.Fatalf("%s: %d records and %d rejects of %d rows; first %+v", s.File, len(set.Records), len(set.Rejects), beiTrees, slices.Concat(set.Rejects, []Reject{{}})[0])
	}
	return set.Records
}

func beiGrid(t *testing.T, c layers.CRS, west, south float64) layers.Grid {
	t.Helper()
	g, err := layers.NewGrid(c, orb.Bound{Min: orb.Point{west, south}, Max: orb.Point{west + 1005, south + 505}}, 5)
	if err != nil || g.Cols != 201 || g.Rows != 101 {
		t.Fatalf("%+v, %v", g, err)
	}
	return g
}

// The README beside the data states 3604 trees, and 138 that lie exactly on an
// edge between cells, of which rounding half to even would misplace 68: a point
// belongs to column floor((x − west)/cell), row floor((north − y)/cell).
func TestBeiCellsAgree(t *testing.T) {
	plot, utm := crs(t, plotCRS), crs(t, "EPSG:32617")
	local, moved := readAll(t, Source{File: beiLocal}, plot), readAll(t, Source{File: beiUTM}, utm)
	localGrid, movedGrid := beiGrid(t, plot, -2.5, -2.5), beiGrid(t, utm, 624997.5, 1010997.5)
	raw := rawColumns(t, beiLocal, "x", "y")
	edges := 0
	for i := range local {
		col, row := localGrid.CellAt(local[i].Point)
		movedCol, movedRow := movedGrid.CellAt(moved[i].Point)
		if col != movedCol || row != movedRow {
			t.Fatalf("%s: cell %d, %d in the plot and %d, %d in UTM", local[i].ID, col, row, movedCol, movedRow)
		}
		// Tenths of a metre are whole numbers: the cells by integers alone.
		wantCol, onX := tenthsCell(raw[i][0], -25)
		wantRow, onY := tenthsRow(raw[i][1], 5025)
		if col != wantCol || row != wantRow {
			t.Fatalf("%s at %v: cell %d, %d, by whole numbers %d, %d", local[i].ID, raw[i], col, row, wantCol, wantRow)
		}
		if onX || onY {
			edges++
		}
	}
	if edges != 138 {
		t.Errorf("%d points on cell edges, want 138", edges)
	}
}

// tenthsCell is the column of a coordinate in tenths of a metre, and whether it
// lies on an edge.
func tenthsCell(text string, west int) (int, bool) {
	v, _ := strconv.ParseFloat(text, 64)
	d := int(math.Round(v*10)) - west
	return d / 50, d%50 == 0
}

func tenthsRow(text string, north int) (int, bool) {
	v, _ := strconv.ParseFloat(text, 64)
	d := north - int(math.Round(v*10))
	return d / 50, d%50 == 0
}

func rawColumns(t *testing.T, file, x, y string) [][2]string {
	t.Helper()
	f, err := os.Open(file)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	xAt, yAt := slices.Index(rows[0], x), slices.Index(rows[0], y)
	var out [][2]string
	for _, row := range rows[1:] {
		out = append(out, [2]string{row[xAt], row[yAt]})
	}
	return out
}

// Longitude and latitude of the same trees are written to 8 decimals, 1 mm:
// transformed, they land within that of x and y.
func TestBeiLongitudeLatitude(t *testing.T) {
	utm := crs(t, "EPSG:32617")
	byXY := readAll(t, Source{File: beiUTM}, utm)
	fields := map[string]string{"x": "decimalLongitude", "y": "decimalLatitude", "verbatimSRS": "geodeticDatum"}
	byLonLat := readAll(t, Source{File: beiUTM, Fields: fields}, utm)
	for i := range byXY {
		a, b := byXY[i].Point, byLonLat[i].Point
		if d := math.Hypot(a[0]-b[0], a[1]-b[1]); d > 0.002 {
			t.Fatalf("%s: %v m apart", byXY[i].ID, d)
		}
	}
}
