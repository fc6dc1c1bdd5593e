package main

import (
	"path/filepath"

	"tussock/layers"
)

// folderFor is where the outputs for an audience go: each audience has a folder
// of its own, so that one can be handed over whole.
func folderFor(output string, audience layers.Audience) string {
	return filepath.Join(output, audience.String())
}
