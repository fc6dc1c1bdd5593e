package tiles

import (
	"encoding/json"
	"fmt"
	"io"
	"net/url"
	"strings"

	"tussock/layers"
)

// TileJSON describes a set of tiles to map programs: TileJSON 3.0.0.
type TileJSON struct {
	Version     string     `json:"tilejson"` // of the specification
	Tiles       []string   `json:"tiles"`
	Name        string     `json:"name,omitempty"`
	Description string     `json:"description,omitempty"`
	Attribution string     `json:"attribution,omitempty"`
	Scheme      string     `json:"scheme"`
	MinZoom     int        `json:"minzoom"`
	MaxZoom     int        `json:"maxzoom"`
	Bounds      [4]float64 `json:"bounds"`
	Center      [3]float64 `json:"center"`
	// Not of the specification, which lets others be added.
	TileSize int    `json:"tileSize"`
	Model    string `json:"modelVersion,omitempty"`
	Audience string `json:"audience"`
}

// tileJSON describes tiles that a server hands out under an address with {z},
// {x} and {y} in it.
func (l label) tileJSON(address string) (TileJSON, error) {
	if err := checkAddress(address); err != nil {
		return TileJSON{}, err
	}
	middle, zoom := l.middle()
	b := l.bound
	return TileJSON{
		Version: "3.0.0", Tiles: []string{address}, Scheme: "xyz",
		Name: l.Name, Description: l.Description, Attribution: l.Attribution,
		MinZoom: l.min, MaxZoom: l.max,
		Bounds:   [4]float64{rounded(b.Min[0]), rounded(b.Min[1]), rounded(b.Max[0]), rounded(b.Max[1])},
		Center:   [3]float64{rounded(middle[0]), rounded(middle[1]), float64(zoom)},
		TileSize: l.size, Model: l.About.Version, Audience: l.audience.String(),
	}, nil
}

// rounded is a number of degrees with at most 7 decimals.
func rounded(v float64) float64 {
	var out float64
	fmt.Sscan(numberText(v), &out)
	return out
}

// checkAddress wants an absolute URL with all three parts of a tile address.
func checkAddress(address string) error {
	for _, part := range []string{"{z}", "{x}", "{y}"} {
		if !strings.Contains(address, part) {
			return fmt.Errorf("tiles: the tile address %q has no %s\nhint: write it like https://example.org/tiles/{z}/{x}/{y}.png", address, part)
		}
	}
	u, err := url.Parse(address)
	if err != nil || u.Scheme != "http" && u.Scheme != "https" || u.Host == "" {
		return fmt.Errorf("tiles: the tile address %q is no absolute http or https URL", address)
	}
	return nil
}

// writeJSON publishes a value as indented JSON with a line end.
func writeJSON(path string, value any) error {
	text, err := json.MarshalIndent(value, "", "  ")
	if err != nil {
		return fmt.Errorf("tiles: %w", err)
	}
	return layers.Publish(path, func(w io.Writer) error {
		_, err := w.Write(append(text, '\n'))
		return err
	})
}
