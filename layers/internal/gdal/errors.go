// Package gdal is the project's thin binding to Debian's libgdal: rasters read
// and written by window, vector features one by one, coordinate transforms, and
// the little geometry that needs GEOS. It is small so that another binding could
// take its place, and it is the only package with cgo.
//
// Each method is one call into C, which collects GDAL's errors while it works:
// GDAL keeps them by OS thread, and a goroutine changes threads. A failure that
// GDAL reports counts even where the call itself returned success. Handles are
// for one goroutine at a time.
package gdal

// #include "shim.h"
import "C"

import (
	"errors"
	"fmt"
	"sync"
)

// ErrClosed is returned by everything that is asked of a closed handle.
var ErrClosed = errors.New("gdal: already closed")

// Error is a failure that GDAL reported.
type Error struct {
	Op     string // what was tried: "open", "read", …
	Path   string // the file or source, "" where there is none
	Place  string // band and window, or layer and feature; "" where there is none
	Number int    // GDAL's error number
	Text   string // GDAL's words
}

func (e *Error) Error() string {
	where := e.Path
	if e.Place != "" {
		where += ", " + e.Place
	}
	if where == "" {
		return fmt.Sprintf("gdal: cannot %s: %s", e.Op, e.Text)
	}
	return fmt.Sprintf("gdal: cannot %s %s: %s", e.Op, where, e.Text)
}

var initialise = sync.OnceFunc(func() { C.shim_init() })

func failure(s *C.shim_status, op, path, place string) error {
	return &Error{Op: op, Path: path, Place: place, Number: int(s.number), Text: C.GoString(&s.text[0])}
}

// Version is libgdal's release, such as "3.6.2".
func Version() string {
	name := cstring("RELEASE_NAME")
	defer free(name)
	return C.GoString(C.GDALVersionInfo(name))
}
