package tiles

import (
	"fmt"
	"strings"

	"github.com/paulmach/orb"

	"tussock/layers"
)

// Format is a way to store tiles.
type Format uint8

// The ways to store tiles.
const (
	Folder  Format = iota + 1 // one PNG file a tile, {z}/{x}/{y}.png
	PMTiles                   // one PMTiles archive, version 3
	MBTiles                   // one MBTiles archive, version 1.3
)

var formatNames = [...]string{"", "folder", "pmtiles", "mbtiles"}

// FormatNames are the words that ParseFormat understands.
func FormatNames() []string { return append([]string(nil), formatNames[1:]...) }

// ParseFormat reads a format's name.
func ParseFormat(name string) (Format, error) {
	for i, known := range formatNames {
		if i > 0 && strings.EqualFold(name, known) {
			return Format(i), nil
		}
	}
	return 0, fmt.Errorf("tiles: %q is no tile format; use %s", name, strings.Join(formatNames[1:], ", "))
}

func (f Format) String() string {
	if int(f) < len(formatNames) {
		return formatNames[f]
	}
	return ""
}

// fileName is what the archive of a surface is called.
func (f Format) fileName(id string) string {
	if f == Folder {
		return id
	}
	return id + "." + f.String()
}

// label is what every archive says of itself.
type label struct {
	About
	audience layers.Audience
	bound    orb.Bound
	min, max int
	size     int
	seen     seen
}

// middle is the middle of the bound and the zoom to show it at first.
func (l label) middle() (orb.Point, int) { return l.bound.Center(), max(l.min, l.max-3) }

// numberText is a number of degrees with at most 7 decimals: 1 cm on the ground.
func numberText(v float64) string {
	text := strings.TrimRight(strings.TrimRight(fmt.Sprintf("%.7f", v), "0"), ".")
	if text == "-0" {
		return "0"
	}
	return text
}
