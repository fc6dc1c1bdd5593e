package gdal

// What the C side is built against: Debian's libgdal-dev brings PROJ and GEOS,
// which GDAL itself stands on, with it.

// #cgo pkg-config: gdal
// #cgo CFLAGS: -O2 -Wall
// #cgo LDFLAGS: -lproj -lgeos_c -lm
import "C"
