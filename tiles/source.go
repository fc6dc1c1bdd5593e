package tiles

import (
	"fmt"
	"regexp"
	"strings"

	"tussock/layers"
)

// Source is a surface to make tiles of.
type Source interface {
	// Lattice is where the surface's cells lie; Size is how many there are.
	Lattice() layers.Lattice
	Size() (cols, rows int)
	// ReadBytes fills the values and standings of a window inside the surface,
	// row by row from the north. Values are suitability bytes or numbers of
	// classes (see Values), standings the bytes of suitability.Standing, 0 where
	// a cell is no part of the area. It is called from several goroutines at
	// once.
	ReadBytes(w layers.Window, values, standing []byte) error
	About() About
}

// About is what is said of a surface in the archives and on the legend. All of
// it is plain text.
type About struct {
	ID          string // the files' stem: small letters, digits, - and _
	Name        string // for people
	Description string
	Attribution string // whom to credit
	Version     string // of the model that made the surface
}

var stem = regexp.MustCompile(`^[a-z0-9][a-z0-9_-]*$`)

// check refuses what would not work as a file name, and markup, which map
// programs would run.
func (a About) check() error {
	if !stem.MatchString(a.ID) {
		return fmt.Errorf("tiles: %q cannot be the stem of file names\nhint: use small letters, digits, - and _", a.ID)
	}
	if strings.TrimSpace(a.Name) == "" {
		return fmt.Errorf("tiles: %s has no name for people", a.ID)
	}
	if strings.ContainsAny(a.Attribution, "<>") {
		return fmt.Errorf("tiles: the attribution of %s holds < or >, and map programs would take it for markup\nhint: write it as plain text", a.ID)
	}
	return nil
}
