package suitability

import (
	"context"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"tussock/layers"
)

// compareScript is a comparison by numpy, from the files alone: what the
// matrix, the rasters and the totals must be.
const compareScript = `
import json, sys
import numpy as np
from osgeo import gdal
gdal.UseExceptions()
old, new, out, classes = sys.argv[1], sys.argv[2], sys.argv[3], int(sys.argv[4])
def read(stem, plane): return gdal.Open(stem % plane).ReadAsArray()
def version(stem):
    s = read(stem, "suitability")
    if s.dtype == np.uint8:
        s = np.where(s == 255, np.nan, s.astype(float))
    else:
        s = 200.0 * s.astype(float)
    c, t = read(stem, "class"), read(stem, "standing")
    state = np.full(c.shape, classes)                       # not shown
    state[(c == 255) & (t == 9)] = classes + 2              # not assessed
    shown = (c != 255) & ~np.isin(t, [5, 6, 7])             # vagrant, edge, outside
    state[shown] = c[shown]
    state[t == 8] = classes + 1                             # excluded
    return s, c, t, state
s1, c1, t1, a = version(old)
s2, c2, t2, b = version(new)
k = classes + 3
matrix = np.zeros((k, k), int)
np.add.at(matrix, (a.ravel(), b.ravel()), 1)
d = s2 - s1
known = ~np.isnan(d)
code = np.full(d.shape, 255)
code[known] = 100 + np.sign(d[known]) * np.minimum(np.ceil(np.abs(d[known]) / 2), 100)
change = np.full(d.shape, 255)
ina, inb = a < classes, b < classes
change[ina & inb] = 100 + (b - a)[ina & inb]
change[~ina & inb] = 201
change[ina & ~inb] = 202
na, nb = a == classes + 2, b == classes + 2
change[~na & nb] = 203
change[na & ~nb] = 204
value = ~((s1 == s2) | (np.isnan(s1) & np.isnan(s2)))
differ = value | (c1 != c2) | (t1 != t2)
print(json.dumps({
    "matrix": matrix.tolist(), "changed": int(differ.sum()), "shown": int((ina | inb).sum()), "values": int(value.sum()),
    "standings": int((t1 != t2).sum()), "rise": float(np.nanmax(d) / 200), "fall": float(np.nanmin(d) / 200),
    "difference": int((read(out, "difference") != code).sum()), "change": int((read(out, "change") != change).sum()),
}))
`

// A whole comparison, over more than one window and with every standing, against
// numpy and GDAL in the same run.
func TestCompareAgainstNumpy(t *testing.T) {
	t.Parallel()
	const python = "/usr/bin/python3"
	if err := exec.Command(python, "-c", "import numpy; from osgeo import gdal").Run(); err != nil {
		t.Skip("no numpy or no GDAL for Python here")
	}
	grid := landscapeGrid(t)
	grid.Cols, grid.Rows = 700, 560
	for _, values := range []Values{Bytes, Floats} {
		j := richJob(t, grid, values, layers.Staff)
		j.Subjects = j.Subjects[:1]
		old := compareVersion(t, j)
		j.Subjects[0].Profile.Requisites[0].Criteria[2].Rating = Curve{{0, 1}, {150, 0.2}, {300, 0.6}}
		j.Subjects[0].Profile.Exclusions[0].Classes = []uint8{3}
		j.Subjects[0].Range = halfOf(t, grid, 0.9)
		now := compareVersion(t, j)
		folder := t.TempDir()
		c, err := Compare(context.Background(), old, now, ChangeRasters{folder, aLook(5)})
		if err != nil {
			t.Fatal(err)
		}
		stem := func(v *Version) string {
			return filepath.Dir(v.Item) + "/" + v.Species + "-%s-" + v.Version[:12] + ".tif"
		}
		rasters := fmt.Sprintf("%s/heathling/heathling-%%s-%s-%s.tif", folder, old.Version[:12], now.Version[:12])
		script := exec.Command(python, "-c", compareScript, stem(old), stem(now), rasters, "5")
		script.Stderr = os.Stderr
		raw, err := script.Output()
		if err != nil {
			t.Fatal(err)
		}
		var want struct {
			Matrix                                                [][]uint64
			Changed, Shown, Values, Standings, Difference, Change uint64
			Rise, Fall                                            float64
		}
		if err := json.Unmarshal(raw, &want); err != nil {
			t.Fatal(err)
		}
		if fmt.Sprint(c.Matrix.Cells) != fmt.Sprint(want.Matrix) {
			t.Errorf("values %v: matrix %v, numpy %v", values, c.Matrix.Cells, want.Matrix)
		}
		if c.Changed.Cells != want.Changed || c.Shown.Cells != want.Shown || c.Values.Cells != want.Values || c.Standings.Cells != want.Standings {
			t.Errorf("values %v: %+v %+v %+v %+v, numpy %+v", values, c.Changed, c.Shown, c.Values, c.Standings, want)
		}
		if math.Abs(c.GreatestUp.Change-want.Rise) > 1e-12 || math.Abs(c.GreatestOff.Change-want.Fall) > 1e-12 {
			t.Errorf("values %v: from %v to %v, numpy from %v to %v", values, c.GreatestOff.Change, c.GreatestUp.Change, want.Fall, want.Rise)
		}
		if want.Difference > 0 || want.Change > 0 {
			t.Errorf("values %v: %d cells of difference and %d of change are not numpy's", values, want.Difference, want.Change)
		}
		if c.Moves.Up.Cells == 0 || c.Moves.Down.Cells == 0 || c.Moves.Appeared.Cells == 0 || c.Moves.Vanished.Cells == 0 || c.Moves.Unknown.Cells == 0 {
			t.Errorf("values %v: too little happens to test anything: %+v", values, c.Moves)
		}
		total := 0.0
		for _, row := range c.Matrix.Hectares {
			for _, hectares := range row {
				total += hectares
			}
		}
		if ground, err := layers.GeodesicArea(grid.CRS, grid.Bound(grid.Window()).ToPolygon()); err != nil || math.Abs(total-ground/1e4) > 0.02 {
			t.Errorf("values %v: %g ha in all, the grid has %g: %v", values, total, ground/1e4, err)
		}
	}
}

// compareVersion maps a job and opens its first surface.
func compareVersion(t *testing.T, j *Job) *Version {
	t.Helper()
	list, err := build(t, j).Current(j.Folder)
	if err != nil {
		t.Fatal(err)
	}
	return list[0]
}
