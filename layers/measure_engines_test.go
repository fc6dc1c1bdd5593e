package layers

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// scipyMeasures reckons the same measures with scipy.ndimage. Unknown cells
// come as null; beyond the data nothing is known.
const scipyMeasures = `
import json, sys
import numpy as np
from scipy import ndimage as nd
q = json.load(sys.stdin)
z = np.array(q["values"], dtype=float)      # None becomes nan
codes, cell = np.array(q["codes"]), q["cell"]
known = ~np.isnan(z)

def disc(radius):
    n = int(radius / cell)
    y, x = np.mgrid[-n:n+1, -n:n+1]
    return (np.hypot(x, y) * cell <= radius).astype(float)

def over(a, kernel):
    return nd.convolve(a, kernel, mode="constant", cval=0.0)

def ratio(top, bottom, whole):
    out = np.full(top.shape, np.nan)
    ok = bottom >= 0.6 * whole - 1e-9
    out[ok] = top[ok] / bottom[ok]
    return out

k = disc(q["radius"])
share = ratio(over((codes == 1) + 0.25 * (codes == 2), k), over((codes != 255) * 1.0, k), k.sum())
mean = ratio(over(np.where(known, z, 0), k), over(known * 1.0, k), k.sum())
n = int(q["radius"] / cell)
g = np.exp(-(np.arange(-n, n + 1) * cell) ** 2 / (2 * (q["radius"] / 2) ** 2))
g = np.outer(g, g)
gauss = ratio(over(np.where(known, z, 0), g), over(known * 1.0, g), g.sum())
far = np.minimum(nd.distance_transform_edt(codes != 1) * cell, q["limit"])
far[codes == 255] = np.nan
json.dump({name: [[None if np.isnan(v) else v for v in row] for row in a]
    for name, a in dict(share=share, mean=mean, gauss=gauss, distance=far).items()}, sys.stdout)
`

func TestMeasuresAgainstScipy(t *testing.T) {
	t.Parallel()
	rng := measureRand(t)
	m := randomReader(rng, 10)
	w := m.blocks["cover"].Window
	answers := askScipy(t, m, w)
	for name, measure := range map[string]Measure{
		"share":    Share{Layer: "cover", Radius: 64, Weights: map[string]float64{"mire": 1, "water": 0.25}},
		"mean":     Mean{Layer: "elev", Radius: 64},
		"gauss":    Mean{Layer: "elev", Radius: 64, Kernel: Gaussian},
		"distance": Distance{Layer: "cover", Classes: []string{"mire"}, Limit: 35},
	} {
		compareRows(t, name, evalOf(t, measure, m, w), answers[name], 1e-6)
	}
}

func compareRows(t *testing.T, name string, got Block, rows [][]*float64, tolerance float64) {
	t.Helper()
	w := got.Window
	for r, line := range rows {
		for c, v := range line {
			want := float32(math.NaN())
			if v != nil {
				want = float32(*v)
			}
			if g := got.Value(w.Col+c, w.Row+r); !sameNumber(g, want, tolerance) {
				t.Fatalf("%s at column %d row %d: %g, the other engine has %g", name, c, r, g, want)
			}
		}
	}
}

func askScipy(t *testing.T, m *memoryReader, w Window) map[string][][]*float64 {
	t.Helper()
	return askPython(t, "import scipy.ndimage", scipyMeasures, map[string]any{
		"values": nestedRows(m.blocks["elev"]), "codes": nestedRows(m.blocks["cover"]),
		"cell": m.grid.Cell, "radius": 64.0, "limit": 35.0,
	})
}

// askPython puts a question to a script that answers with rows of numbers; it
// skips the test where what the script needs is not installed.
func askPython(t *testing.T, needs, script string, question map[string]any) map[string][][]*float64 {
	t.Helper()
	const python = "/usr/bin/python3"
	if err := exec.Command(python, "-c", needs).Run(); err != nil {
		t.Skipf("python cannot %s", needs)
	}
	text, err := json.Marshal(question)
	if err != nil {
		t.Fatal(err)
	}
	var out, complaint bytes.Buffer
	command := exec.Command(python, "-c", script)
	command.Stdin, command.Stdout, command.Stderr = bytes.NewReader(text), &out, &complaint
	if err := command.Run(); err != nil {
		t.Fatalf("%v: %s", err, complaint.String())
	}
	answers := map[string][][]*float64{}
	if err := json.Unmarshal(out.Bytes(), &answers); err != nil {
		t.Fatal(err)
	}
	return answers
}

// nestedRows is a block as rows of numbers, nil where a number is unknown.
func nestedRows(b Block) [][]any {
	rows := make([][]any, b.Window.Rows)
	for r := range rows {
		for c := range b.Window.Cols {
			if b.IsCodes() {
				rows[r] = append(rows[r], int(b.CodeRow(b.Window.Row + r)[c]))
			} else if v := b.ValueRow(b.Window.Row + r)[c]; v == v {
				rows[r] = append(rows[r], v)
			} else {
				rows[r] = append(rows[r], nil)
			}
		}
	}
	return rows
}

// Slope, aspect and roughness against GDAL's own program. It also leaves a cell
// unknown if any of the nine is, and calls the aspect of level ground unknown.
// It subtracts its aspect from 450 degrees as float32, whose last bit there is
// 3e-5 degrees.
func TestTerrainAgainstGdaldem(t *testing.T) {
	t.Parallel()
	if _, err := exec.LookPath("gdaldem"); err != nil {
		t.Skip("gdaldem is not installed")
	}
	m := randomReader(measureRand(t), 10)
	w := m.blocks["elev"].Window
	folder := t.TempDir()
	source := filepath.Join(folder, "elev.asc")
	if err := os.WriteFile(source, []byte(asciiGrid(m.blocks["elev"], 10)), 0o600); err != nil {
		t.Fatal(err)
	}
	for what, mode := range map[TerrainKind]string{Slope: "slope", Aspect: "aspect", Roughness: "roughness"} {
		table := filepath.Join(folder, mode+".tif")
		run(t, "gdaldem", mode, source, table, "-q")
		text := run(t, "gdal_translate", "-q", "-of", "XYZ", table, "/vsistdout/")
		got := evalOf(t, Terrain{Layer: "elev", What: what}, m, w)
		compareXYZ(t, mode, got, text)
	}
}

func run(t *testing.T, name string, arguments ...string) string {
	t.Helper()
	out, err := exec.Command(name, arguments...).Output()
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	return string(out)
}

// asciiGrid is a block as an Arc/Info ASCII grid.
func asciiGrid(b Block, cell float64) string {
	var s strings.Builder
	fmt.Fprintf(&s, "ncols %d\nnrows %d\nxllcorner 0\nyllcorner 0\ncellsize %g\nNODATA_value -9999\n", b.Window.Cols, b.Window.Rows, cell)
	for row := b.Window.Row; row < b.Window.Bottom(); row++ {
		for _, v := range b.ValueRow(row) {
			if v != v {
				v = -9999
			}
			fmt.Fprintf(&s, "%.4f ", v)
		}
		s.WriteByte('\n')
	}
	return s.String()
}

// compareXYZ holds a block against lines of x, y, value in row order.
func compareXYZ(t *testing.T, name string, got Block, text string) {
	t.Helper()
	lines := strings.Split(strings.TrimSpace(text), "\n")
	if len(lines) != len(got.Values) {
		t.Fatalf("%s: %d cells for %d", name, len(lines), len(got.Values))
	}
	known := 0
	for i, line := range lines {
		var x, y, v float64
		if _, err := fmt.Sscan(line, &x, &y, &v); err != nil {
			t.Fatalf("%s: %q: %v", name, line, err)
		}
		want := float32(v)
		if v == -9999 {
			want = float32(math.NaN())
		} else {
			known++
		}
		if !sameNumber(got.Values[i], want, 4e-5) {
			t.Fatalf("%s at cell %d: %.7g, gdaldem has %.7g", name, i, got.Values[i], want)
		}
	}
	if known == 0 {
		t.Fatalf("%s: nothing was known", name)
	}
}
