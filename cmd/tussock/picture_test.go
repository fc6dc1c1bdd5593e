package main

import (
	"context"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"tussock/layers"
	"tussock/suitability"
	"tussock/suitability/project"
)

// sensitivePlot is the plot's project with its species made highly sensitive.
func sensitivePlot(t *testing.T) string {
	t.Helper()
	folder := t.TempDir()
	if err := os.CopyFS(folder, os.DirFS("../../testdata/bei/utm_nominal")); err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(folder, project.FileName)
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	sensitive := strings.Replace(string(text), "    floor: 0\n", "    floor: 0\n    sensitivity: high\n", 1)
	if err := os.WriteFile(path, []byte(sensitive), 0o666); err != nil {
		t.Fatal(err)
	}
	return folder
}

// studioFor maps a project for an audience and opens what pictures are made of.
func studioFor(t *testing.T, folder string, audience layers.Audience) studio {
	t.Helper()
	if code := run([]string{"map", "-p", folder, "--audience", audience.String(), "--quiet"}, io.Discard, os.Stderr); code != exitDone {
		t.Fatal(code)
	}
	o, err := project.Open(context.Background(), folder)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { o.Close() })
	place := folderFor(o.Output.Folder, audience)
	c, err := suitability.ReadCatalogue(place)
	if err != nil {
		t.Fatal(err)
	}
	return studio{project: o, catalogue: c, folder: place, audience: audience}
}

// A picture of a highly sensitive species is made from the audience's own folder
// and knows the audience's finest cell; no two pictures that differ share a name.
func TestPictureKnowsItsAudience(t *testing.T) {
	folder := sensitivePlot(t)
	names := map[string]string{}
	for audience, finest := range map[layers.Audience]float64{layers.Public: 250, layers.Staff: 5} {
		s := studioFor(t, folder, audience)
		for _, s.options = range []pictureOptions{{}, {grey: true}, {width: 900}} {
			p, closeFiles, err := s.picture(s.catalogue.Species[0])
			if err != nil {
				t.Fatal(err)
			}
			defer closeFiles()
			if p.Map.MapCell != finest {
				t.Errorf("%s: the map cell is %g m, want %g", audience, p.Map.MapCell, finest)
			}
			name := s.name(s.catalogue.Species[0], p)
			if other, taken := names[name]; taken {
				t.Errorf("%s %+v has the name of %s", audience, s.options, other)
			}
			names[name] = audience.String()
		}
	}
}
