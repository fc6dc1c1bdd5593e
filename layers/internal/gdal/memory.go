package gdal

// #include "shim.h"
import "C"

import "unsafe"

func cstring(s string) *C.char { return C.CString(s) }
func free(p *C.char)           { C.free(unsafe.Pointer(p)) }

// take copies a text that GDAL allocated, and lets it go.
func take(p *C.char) string {
	s := C.GoString(p)
	C.shim_free(unsafe.Pointer(p))
	return s
}

// takeList copies a list of texts that GDAL allocated, and lets it go.
func takeList(list **C.char) []string {
	texts := borrowList(list)
	C.shim_free_list(list)
	return texts
}

func borrowList(list **C.char) []string {
	if list == nil {
		return nil
	}
	var texts []string
	for at := list; *at != nil; at = (**C.char)(unsafe.Add(unsafe.Pointer(at), unsafe.Sizeof(*at))) {
		texts = append(texts, C.GoString(*at))
	}
	return texts
}

// clist makes a C list of texts; the second result lets it go.
func clist(texts []string) (**C.char, func()) {
	if len(texts) == 0 {
		return nil, func() {}
	}
	size := C.size_t(len(texts)+1) * C.size_t(unsafe.Sizeof((*C.char)(nil)))
	list := (**C.char)(C.calloc(1, size))
	slots := unsafe.Slice(list, len(texts))
	for i, t := range texts {
		slots[i] = cstring(t)
	}
	return list, func() {
		for _, s := range slots {
			free(s)
		}
		C.free(unsafe.Pointer(list))
	}
}

// takeBytes copies bytes that GDAL allocated, and lets them go.
func takeBytes(p *C.uchar, n C.size_t) []byte {
	b := C.GoBytes(unsafe.Pointer(p), C.int(n))
	C.shim_free(unsafe.Pointer(p))
	return b
}
