// Package gdal is a thin binding to what Tussock needs of GDAL, PROJ and GEOS.
// It is the only package of the program that uses cgo.
//
// GDAL keeps its error state and its stack of error handlers by operating
// system thread, and a goroutine may change threads between two calls into C.
// So every method here is one call of one C function, which pushes a collector
// of messages, works, and pops it again (see shim.h). Whatever a return code
// says, a failure that the collector saw is a failure.
//
// Warnings are returned by the calls that open a source, describe it or read its
// features, for the caller to show. While cells are read or written, and at the
// close, a warning is an error: it means that something was lost.
//
// No handle may be used by two goroutines at once.
package gdal
