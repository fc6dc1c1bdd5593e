package main

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
)

// fine gives the plot cells of 1 m, so that it has several blocks and tiles.
var fine = []string{
	"grid: {like: elev}", "grid: {crs: EPSG:32617, cell: 1, extent: [624998, 1010998, 626002, 1011502]}",
	"kind: quantity, unit: m}", "kind: quantity, unit: m, resample: bilinear}",
	"source: grad.tif, kind: quantity}", "source: grad.tif, kind: quantity, resample: bilinear}",
	"measure: value, layer: grad,", "measure: mean, radius: 40, layer: grad,",
	"format: [folder, pmtiles, mbtiles]", "format: [pmtiles, mbtiles]",
}

// TestSameBytesHoweverItIsCut holds that every published file has the same
// bytes whatever the block, the workers and the shards.
func TestSameBytesHoweverItIsCut(t *testing.T) {
	t.Parallel()
	folder := t.TempDir()
	s := site{t, filepath.Join(folder, "plot")}
	s.must(os.CopyFS(s.folder, os.DirFS(plot)))
	s.edit(fine...)

	one := filepath.Join(folder, "one")
	build(t, s.folder, one, "--block", "1024", "--workers", "1")
	want := published(t, one)
	if len(want) < 20 {
		t.Fatalf("only %d files: %v", len(want), want)
	}
	for _, way := range [][]string{{"--block", "512", "--workers", "3"}, {"--block", "512", "--workers", "1"}, {"--block", "1024", "--workers", "3"}} {
		out := filepath.Join(folder, fmt.Sprint(way))
		build(t, s.folder, out, way...)
		sameFiles(t, fmt.Sprint(way), published(t, out), want)
	}

	parts := filepath.Join(folder, "parts")
	tussock := func(args ...string) {
		t.Helper()
		args = append(args, "--project", s.folder, "--audience", "staff", "--out", parts, "--quiet")
		if text, err := exec.Command(theProgram(t), args...).CombinedOutput(); err != nil {
			t.Fatalf("tussock %v: %v\n%s", args, err, text)
		}
	}
	for _, shard := range []string{"3", "1", "2"} {
		tussock("map", "run", "--block", "512", "--shards", "3", "--shard", shard)
	}
	tussock("map", "reduce", "--block", "512", "--shards", "3")
	tussock("tiles")
	sameFiles(t, "three shards", published(t, parts), want)
}
