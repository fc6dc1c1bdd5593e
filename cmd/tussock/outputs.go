package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"slices"

	"tussock/layers"
	"tussock/tiles"
)

// folderFor is where the outputs for an audience go: each audience has a folder
// of its own, so that one can be handed over whole.
func folderFor(output string, audience layers.Audience) string {
	return filepath.Join(output, audience.String())
}

// tileEndings are what each format adds to the name of its tiles.
var tileEndings = map[tiles.Format]string{tiles.Folder: "", tiles.PMTiles: ".pmtiles", tiles.MBTiles: ".mbtiles"}

// allThere tells whether every file of a set of tiles is there already. What
// stands under such a name is complete; a run that was cut short leaves some
// names out.
func allThere(folder, id string, o tiles.Options) bool {
	endings := []string{".legend.json", ".legend.png"}
	for _, f := range o.Formats {
		endings = append(endings, tileEndings[f])
	}
	for _, ending := range endings {
		if _, err := os.Stat(filepath.Join(folder, id+ending)); err != nil {
			return false
		}
	}
	return o.Address == "" || slices.Contains(addresses(filepath.Join(folder, id+".tilejson")), o.Address)
}

// addresses are where a TileJSON says that its tiles are; none where there is
// no such file.
func addresses(path string) []string {
	var t struct {
		Tiles []string `json:"tiles"`
	}
	if raw, err := os.ReadFile(path); err == nil {
		json.Unmarshal(raw, &t)
	}
	return t.Tiles
}
