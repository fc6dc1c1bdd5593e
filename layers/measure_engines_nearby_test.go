package layers

import (
	"testing"

	"github.com/paulmach/orb/encoding/wkt"
)

// scipyBarrier labels what hangs together in each disc, the centre being open,
// and takes what has the centre's label.
const scipyBarrier = `
import json, sys
import numpy as np
from scipy import ndimage as nd
q = json.load(sys.stdin)
n = int(q["radius"] / q["cell"])
y, x = np.mgrid[-n:n+1, -n:n+1]
disc = np.hypot(x, y) * q["cell"] <= q["radius"]
codes, z, wall = np.array(q["codes"]), np.array(q["values"], dtype=float), np.array(q["walls"]) > 0
weight = np.select([codes == 1, codes == 2], [1, 0.25], 0.0)
share, mean = np.full(codes.shape, np.nan), np.full(codes.shape, np.nan)
for r in range(n, codes.shape[0] - n):
    for c in range(n, codes.shape[1] - n):
        at = (slice(r - n, r + n + 1), slice(c - n, c + n + 1))
        free = disc & ~wall[at]
        free[n, n] = True
        label, _ = nd.label(free)
        reached = label == label[n, n]
        known = (codes[at] != 255) & disc
        if known.sum() >= 0.6 * disc.sum() - 1e-9:
            share[r, c] = weight[at][reached].sum() / known.sum()
        v = z[at][reached]
        if (~np.isnan(v)).sum() >= 0.6 * len(v) - 1e-9:
            mean[r, c] = np.nanmean(v)
json.dump({name: [[None if np.isnan(v) else v for v in row] for row in a[n:-n, n:-n]]
    for name, a in dict(share=share, mean=mean).items()}, sys.stdout)
`

func TestBarrierAgainstScipy(t *testing.T) {
	t.Parallel()
	rng := measureRand(t)
	m := randomReader(rng, 10)
	radius := 58.0
	b := Barrier{"walls", 1000}
	w := m.grid.Window().Grow(2)
	grown := w.Grow(int(radius / 10))
	walls, _ := m.Burn("walls", Burn{Kind: BurnTouch, Field: "vehicles", Where: []string{"5000", "20000"}}, grown)
	codes, _ := m.Read("cover", grown)
	values, _ := m.Read("elev", grown)
	answers := askPython(t, "import scipy.ndimage", scipyBarrier, map[string]any{
		"walls": nestedRows(walls), "codes": nestedRows(codes), "values": nestedRows(values), "cell": 10.0, "radius": radius,
	})
	share := Share{Layer: "cover", Radius: radius, Weights: map[string]float64{"mire": 1, "water": 0.25}, Barrier: b}
	compareRows(t, "share", evalOf(t, share, m, w), answers["share"], 1e-6)
	compareRows(t, "mean", evalOf(t, Mean{Layer: "elev", Radius: radius, Barrier: b}, m, w), answers["mean"], 1e-6)
}

// ogrNearby takes distances from GEOS by way of OGR.
const ogrNearby = `
import json, sys
from osgeo import ogr
ogr.UseExceptions()
q = json.load(sys.stdin)
ponds = [(ogr.CreateGeometryFromWkt(p["wkt"]), p["score"]) for p in q["ponds"]]
rows = []
for r in range(q["rows"]):
    rows.append([])
    for c in range(q["cols"]):
        at = ogr.Geometry(ogr.wkbPoint)
        at.AddPoint_2D(q["west"] + (c + 0.5) * q["cell"], q["north"] - (r + 0.5) * q["cell"])
        best = 0.0
        for pond, score in ponds:
            d = pond.Distance(at)
            if d <= q["limit"]:
                best = max(best, score * (1 - 0.8 * d / q["limit"]))
        rows[-1].append(best)
json.dump({"best": rows}, sys.stdout)
`

func TestNearbyBestAgainstOGR(t *testing.T) {
	t.Parallel()
	rng := measureRand(t)
	m := randomReader(rng, 10)
	var ponds []map[string]any
	for _, pond := range m.addPonds(t, rng) {
		if score := testScore("score").Score(pond.Attributes); score > 0 {
			ponds = append(ponds, map[string]any{"wkt": wkt.MarshalString(pond.Geometry), "score": score})
		}
	}
	w := m.grid.Window()
	answers := askPython(t, "from osgeo import ogr", ogrNearby, map[string]any{
		"ponds": ponds, "west": m.grid.West, "north": m.grid.North, "cell": 10.0, "cols": w.Cols, "rows": w.Rows, "limit": 120.0,
	})
	got := evalOf(t, NearbyBest{Layer: "ponds", Score: testScore("score"), Fade: testFade(120)}, m, w)
	compareRows(t, "nearby best", got, answers["best"], 1e-6)
}

// numpyPoints sums the kernel over whole arrays, point by point.
const numpyPoints = `
import json, sys
import numpy as np
q = json.load(sys.stdin)
x = q["west"] + (np.arange(q["cols"]) + 0.5) * q["cell"]
y = q["north"] - (np.arange(q["rows"]) + 0.5) * q["cell"]
x, y = np.meshgrid(x, y)
p = np.array(q["points"])
d2 = (x[..., None] - p[:, 0]) ** 2 + (y[..., None] - p[:, 1]) ** 2
c = (p[:, 2] * np.clip(1 - d2 / q["radius"] ** 2, 0, None)).sum(axis=2)
effort = np.array(q["effort"], dtype=float)
c = c / np.where(np.isnan(effort), 1, np.maximum(1, effort / q["typical"]))
json.dump({"known": (c / (c + q["half"])).tolist()}, sys.stdout)
`

func TestPointKernelAgainstNumpy(t *testing.T) {
	t.Parallel()
	rng := measureRand(t)
	m := randomReader(rng, 10)
	p := samplePoints()
	p.Points = randomPoints(rng)
	var points [][3]float64
	for _, point := range p.Points {
		points = append(points, [3]float64{point.At[0], point.At[1], point.Weight})
	}
	w := m.grid.Window()
	effort, _ := m.Read("elev", w)
	answers := askPython(t, "import numpy", numpyPoints, map[string]any{
		"points": points, "west": m.grid.West, "north": m.grid.North, "cell": 10.0, "cols": w.Cols, "rows": w.Rows,
		"radius": p.Radius, "half": p.Half, "effort": nestedRows(effort), "typical": p.TypicalEffort,
	})
	compareRows(t, "points", evalOf(t, p, m, w), answers["known"], 1e-6)
}
