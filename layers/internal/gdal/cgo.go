package gdal

// #cgo pkg-config: gdal
// #cgo LDFLAGS: -lproj
// #include "shim.h"
import "C"
