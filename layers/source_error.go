package layers

import (
	"slices"

	"tussock/layers/internal/gdal"
)

// SourceError is what GDAL could not do, and where: the source, its layer and
// feature or its band and block. Use errors.As to find it.
type SourceError = gdal.Error

// ErrClosed is returned by a source or transform that is closed already.
var ErrClosed = gdal.ErrClosed

// warningsOf are the messages' words, each once, so many at most.
func warningsOf(known []string, notes []gdal.Message) []string {
	const most = 20
	for _, m := range notes {
		if len(known) < most && !slices.Contains(known, m.Text) {
			known = append(known, m.Text)
		}
	}
	return known
}
