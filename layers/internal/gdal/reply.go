package gdal

// #include <stdlib.h>
// #include "shim.h"
import "C"

import (
	"sync"
	"unsafe"
)

// ready registers the drivers and sets what must not depend on the caller's
// environment, once.
var ready = sync.OnceFunc(func() { C.tk_init() })

// Version is libgdal's release, such as "3.6.2".
func Version() string { return C.GoString(C.tk_version()) }

// tolerance says which messages are no error.
type tolerance bool

const (
	strict   tolerance = false // a warning is an error
	tolerant tolerance = true  // warnings are returned
)

// settle copies a reply's packet, lets go of its memory and makes an error of
// its failures. The error's words are filled in; its place is the caller's.
func settle(r *C.tk_reply, warnings tolerance, place Error) (packet, []Message, error) {
	out, log := take(&r.out), take(&r.log)
	if r.ok != 0 && log == nil {
		return out, nil, nil
	}
	notes := messages(log)
	failed := r.ok == 0 || warnings == strict && len(notes) > 0
	for _, m := range notes {
		failed = failed || !m.Warning
	}
	if !failed {
		return out, notes, nil
	}
	place.Text, place.Notes = first(notes), notes
	return out, notes, &place
}

func take(b *C.tk_bytes) packet {
	if b.data == nil {
		return nil
	}
	p := packet(C.GoBytes(unsafe.Pointer(b.data), C.int(b.size)))
	C.free(unsafe.Pointer(b.data))
	return p
}

// lent runs work with C copies of texts.
func lent(work func(c []*C.char), texts ...string) {
	c := make([]*C.char, len(texts))
	for i, t := range texts {
		c[i] = C.CString(t)
		defer C.free(unsafe.Pointer(c[i]))
	}
	work(c)
}
