package main

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"unicode/utf16"
)

// fault is one bad input: what is done to a working project, and what the
// program must then say.
type fault struct {
	name    string
	command string     // "" is the whole job
	harm    func(site) // to the project in plot
	exit    int        //
	place   string     // what the error must name
	warns   string     // what a warning must say
}

// site is a project that a fault may harm.
type site struct {
	t      *testing.T
	folder string
}

func (s site) path(name string) string { return filepath.Join(s.folder, name) }

func (s site) must(err error) {
	s.t.Helper()
	if err != nil {
		s.t.Fatal(err)
	}
}

func (s site) write(name, text string) { s.must(os.WriteFile(s.path(name), []byte(text), 0o666)) }

// edit replaces text in the project file, which must hold it.
func (s site) edit(pairs ...string) {
	s.t.Helper()
	raw, err := os.ReadFile(s.path("tussock.yaml"))
	s.must(err)
	text := string(raw)
	for i := 0; i < len(pairs); i += 2 {
		if !strings.Contains(text, pairs[i]) {
			s.t.Fatalf("no %q in the project file", pairs[i])
		}
		text = strings.Replace(text, pairs[i], pairs[i+1], 1)
	}
	s.write("tussock.yaml", text)
}

// translate runs gdal_translate over a raster, in place.
func (s site) translate(name string, args ...string) {
	s.t.Helper()
	changed := s.path("changed.tif")
	args = append(append([]string{"-q"}, args...), s.path(name), changed)
	if out, err := exec.Command("gdal_translate", args...).CombinedOutput(); err != nil {
		s.t.Fatalf("gdal_translate %s: %v\n%s", strings.Join(args, " "), err, out)
	}
	s.must(os.Rename(changed, s.path(name)))
	os.Remove(changed + ".aux.xml")
}

// cells writes a raster of 4 by 4 cells of 5 m from numbers, in place.
func (s site) cells(name, numbers string, crs ...string) {
	s.write("cells.asc", "ncols 4\nnrows 4\nxllcorner 625400\nyllcorner 1011200\ncellsize 5\nNODATA_value -9999\n"+numbers)
	s.must(os.Rename(s.path("cells.asc"), s.path(name)))
	s.translate(name, append([]string{"-of", "GTiff"}, crs...)...)
}

// flip turns over one bit.
func (s site) flip(name string, at int) {
	raw, err := os.ReadFile(s.path(name))
	s.must(err)
	raw[at] ^= 0x10
	s.must(os.WriteFile(s.path(name), raw, 0o666))
}

// geojson is a layer of one polygon, or of none, in longitude and latitude.
func geojson(properties, ring string) string {
	feature := ""
	if ring != "" {
		feature = fmt.Sprintf(`{"type": "Feature", "properties": %s, "geometry": {"type": "Polygon", "coordinates": [[%s]]}}`, properties, ring)
	}
	return `{"type": "FeatureCollection", "features": [` + feature + `]}`
}

const bowTie = "[-79.860, 9.145], [-79.856, 9.149], [-79.856, 9.145], [-79.860, 9.149], [-79.860, 9.145]"

// withFeatures adds a layer of features, and a criterion that needs it.
func (s site) withFeatures(text string) {
	s.write("ponds.geojson", text)
	s.edit("  grad: {", "  ponds: {source: ponds.geojson, kind: features}\n  grad: {",
		"criteria:\n", "criteria:\n          - {id: ponds, weight: 0.2, measure: distance, layer: ponds, curve: [[0, 1], [300, 0]], source: assumption}\n",
		"{id: elevation, weight: 0.5", "{id: elevation, weight: 0.3")
}

// withClasses puts a layer of classes with a table in place of the slope.
func (s site) withClasses(legend, table string) {
	s.cells("soil.tif", "1 1 1 1\n1 2 2 1\n1 2 7 1\n1 1 1 1\n", "-a_srs", "EPSG:32617")
	s.edit("  grad: {source: grad.tif, kind: quantity}", "  soil: {source: soil.tif, kind: classes, resample: nearest, classes: "+legend+"}",
		"{id: gradient, weight: 0.5, measure: value, layer: grad, curve: [[0, 0], [0.25, 1]]", "{id: soil, weight: 0.5, measure: value, layer: soil, table: "+table)
}

const aside = "occurrenceID,scientificName,decimalLongitude,decimalLatitude,recordedBy\n" +
	"1,Beilschmiedia pendula,-79.857,9.147,Jos\u00e9\n2,Beilschmiedia pendula,0,0,Zo\u00eb\n"

func latin1(text string) string {
	var b []byte
	for _, r := range text {
		b = append(b, byte(r))
	}
	return string(b)
}

func utf16le(text string) string {
	b := []byte{0xff, 0xfe}
	for _, u := range utf16.Encode([]rune(text)) {
		b = append(b, byte(u), byte(u>>8))
	}
	return string(b)
}

var faults = []fault{
	{name: "truncated raster", harm: func(s site) { s.must(os.Truncate(s.path("grad.tif"), 30000)) }, exit: exitInput, place: "grad.tif"},
	{name: "raster cut to its first bytes", harm: func(s site) { s.must(os.Truncate(s.path("grad.tif"), 6)) }, exit: exitUsage, place: "tussock.yaml:10:"},
	{name: "raster with a flipped bit", harm: func(s site) { s.flip("grad.tif", 30000) }, exit: exitInput, place: "grad.tif"},
	{name: "raster without a CRS", harm: func(s site) { s.cells("grad.tif", strings.Repeat("0.1 0.1 0.1 0.1\n", 4)) }, exit: exitUsage, place: "tussock.yaml:10:"},
	{name: "raster with a wrong CRS", harm: func(s site) { s.translate("grad.tif", "-a_srs", "EPSG:27700") }, warns: `layer "grad" is not known at any`},
	{name: "raster beside the area", harm: func(s site) {
		s.translate("grad.tif", "-a_ullr", "724997.5", "1011502.5", "726002.5", "1010997.5")
	}, warns: `layer "grad" is not known at any`},
	{name: "raster of a folder", harm: func(s site) { s.edit("source: grad.tif", "source: .") }, exit: exitUsage, place: "tussock.yaml:10:"},
	{name: "band that is not there", harm: func(s site) { s.edit("source: grad.tif,", "source: grad.tif, band: 3,") }, exit: exitUsage, place: "tussock.yaml:10:"},
	{name: "features as a raster", harm: func(s site) { s.edit("source: grad.tif", "source: window.gpkg") }, exit: exitUsage, place: "tussock.yaml:10:"},
	{name: "layer of no features", harm: func(s site) { s.withFeatures(geojson("", "")) }},
	{name: "polygon that crosses itself", harm: func(s site) { s.withFeatures(geojson("{}", bowTie)) }, exit: exitUsage, place: "ponds"},
	{name: "range that crosses itself", harm: func(s site) {
		s.write("range.geojson", geojson("{}", bowTie))
		s.edit("window.gpkg", "range.geojson")
	}, exit: exitUsage, place: "range.geojson"},
	{name: "ranges without a polygon", harm: func(s site) {
		s.write("range.geojson", geojson("", ""))
		s.edit("window.gpkg", "range.geojson")
	}, exit: exitUsage, place: "tussock.yaml:14:"},
	{name: "one cell", harm: func(s site) {
		s.edit("grid: {like: elev}", "grid: {crs: EPSG:32617, cell: 5, extent: [625400, 1011200, 625405, 1011205]}")
	}},
	{name: "no cell", harm: func(s site) {
		s.edit("grid: {like: elev}", "grid: {crs: EPSG:32617, cell: 5, extent: [625400, 1011200, 625400, 1011200]}")
	}, exit: exitUsage, place: "tussock.yaml:7:"},
	{name: "more cells than can be", harm: func(s site) {
		s.edit("grid: {like: elev}", "grid: {crs: EPSG:32617, cell: 1.0e-6, extent: [0, 0, 1000000, 1000000]}")
	}, exit: exitUsage, place: "tussock.yaml:7:"},
	{name: "nothing known", harm: func(s site) {
		s.translate("elev.tif", "-scale", "0", "1000", "-9999", "-9999", "-a_nodata", "-9999")
	}, warns: `layer "elev" is not known at any`},
	{name: "cells that are no finite number", harm: func(s site) {
		s.cells("elev.tif", "140 140 140 140\n140 nan inf 140\n140 -inf 140 140\n140 140 140 140\n", "-a_srs", "EPSG:32617")
	}},
	{name: "class that no table knows", harm: func(s site) { s.withClasses("{1: sand, 2: clay, 7: peat}", "{sand: 1, clai: 0.5, peat: 0}") }, exit: exitUsage, place: "tussock.yaml:"},
	{name: "class that no legend knows", harm: func(s site) { s.withClasses("{1: sand, 2: clay}", "{sand: 1, clay: 0.5}") }, exit: exitUsage, place: `layer "soil"`},
	{name: "curve that falls back", harm: func(s site) { s.edit("[135, 1]", "[115, 1]") }, exit: exitUsage, place: "tussock.yaml:"},
	{name: "bomb of aliases", harm: func(s site) {
		text := "a: &a [x, x, x, x, x, x, x, x, x, x]\n"
		for c := 'b'; c <= 'k'; c++ {
			text += fmt.Sprintf("%c: &%c [*%c, *%c, *%c, *%c, *%c, *%c, *%c, *%c]\n", c, c, c-1, c-1, c-1, c-1, c-1, c-1, c-1, c-1)
		}
		s.write("tussock.yaml", text)
	}, exit: exitUsage, place: "tussock.yaml:"},
	{name: "project file in UTF-16", harm: func(s site) { s.write("tussock.yaml", utf16le("area:\n")) }, exit: exitUsage, place: "tussock.yaml"},
	{name: "project file that is empty", harm: func(s site) { s.write("tussock.yaml", "") }, exit: exitUsage, place: "tussock.yaml"},
	{name: "records in Latin-1", command: "check", harm: func(s site) { s.write("occurrences.csv", latin1(aside)) }, exit: exitDegraded, place: "1 record kept aside"},
	{name: "records in UTF-16", command: "check", harm: func(s site) { s.write("occurrences.csv", utf16le(aside)) }, exit: exitDegraded, place: "1 record kept aside"},
	{name: "records without places", command: "check", harm: func(s site) { s.write("occurrences.csv", "scientificName,year\nBeilschmiedia pendula,1983\n") }, exit: exitInput, place: "occurrences.csv"},
	{name: "records that are a picture", command: "check", harm: func(s site) { s.write("occurrences.csv", "\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR") }, exit: exitInput, place: "occurrences.csv"},
	{name: "records that are empty", command: "check", harm: func(s site) { s.write("occurrences.csv", "") }, exit: exitInput, place: "occurrences.csv"},
}

// TestFaults gives the program each bad input and holds what it says against
// testdata/faults.golden: one error with its place, or a documented outcome;
// and what was published before stays as it was.
func TestFaults(t *testing.T) {
	t.Parallel()
	before := filepath.Join(t.TempDir(), "out")
	build(t, plot, before)
	var said bytes.Buffer
	for _, f := range faults {
		t.Run(f.name, func(t *testing.T) { f.try(t, before, &said) })
	}
	const golden = "testdata/faults.golden"
	if *update {
		if err := os.WriteFile(golden, said.Bytes(), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(golden)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(said.Bytes(), want) {
		t.Errorf("%s differs; what was said:\n%s", golden, said.String())
	}
}

func (f fault) try(t *testing.T, before string, said *bytes.Buffer) {
	folder := t.TempDir()
	s := site{t, filepath.Join(folder, "plot")}
	s.must(os.CopyFS(s.folder, os.DirFS(plot)))
	s.must(os.CopyFS(s.path("out"), os.DirFS(before)))
	f.harm(s)

	args := []string{"build", "--project", "plot", "--audience", "staff", "--quiet"}
	if f.command != "" {
		args = []string{f.command, "--project", "plot"}
	}
	cmd := exec.Command(theProgram(t), args...)
	cmd.Dir = folder
	var out, errOut bytes.Buffer
	cmd.Stdout, cmd.Stderr = &out, &errOut
	code := 0
	if err := cmd.Run(); err != nil {
		var exit *exec.ExitError
		if !errors.As(err, &exit) {
			t.Fatal(err)
		}
		code = exit.ExitCode()
	}
	fmt.Fprintf(said, "-- %s --\n$ tussock %s\n%s%s", f.name, strings.Join(args, " "), out.String(), errOut.String())
	fmt.Fprintf(said, "exit status %d\n\n", code)
	f.judge(t, code, out.String(), errOut.String(), folder)
	f.untouched(t, code, published(t, before), published(t, s.path("out")))
}

// judge holds what was said against the rules for every message.
func (f fault) judge(t *testing.T, code int, out, errOut, folder string) {
	if code != f.exit {
		t.Errorf("exit status %d, not %d", code, f.exit)
	}
	all := out + errOut
	if strings.Contains(all, folder) || strings.Contains(all, "goroutine ") {
		t.Errorf("a path of this machine, or a crash: %s", all)
	}
	wanted := 0
	if f.exit != exitDone {
		wanted = 1
	}
	if n := strings.Count("\n"+errOut, "\ntussock: "); n != wanted {
		t.Errorf("%d errors, not %d: %s", n, wanted, errOut)
	}
	if n := strings.Count("\n"+errOut, "\nwarning: "); n > 2 || !strings.Contains(errOut, f.warns) {
		t.Errorf("no warning says %s, or too many: %s", f.warns, errOut)
	}
	if !strings.Contains(errOut, f.place) {
		t.Errorf("the error does not name %s: %s", f.place, errOut)
	}
	if f.exit != exitDone && f.exit != exitDegraded && out != "" {
		t.Errorf("a result next to an error: %s", out)
	}
}

// untouched holds that an error changes no published file and adds none; a new
// version of the maps may only add some, besides the list of what is current.
func (f fault) untouched(t *testing.T, code int, before, after map[string]string) {
	if code == exitDone {
		for name, sum := range before {
			if filepath.Base(name) != "surfaces.json" && after[name] != sum {
				t.Errorf("%s was changed", name)
			}
		}
		return
	}
	sameFiles(t, "published before", after, before)
}
