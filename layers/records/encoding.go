package records

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"unicode/utf16"
	"unicode/utf8"

	"golang.org/x/text/encoding/charmap"
)

// EncodingError is a byte that is no character in the encoding that a text was
// read in.
type EncodingError struct {
	File         string
	Line, Column int // from 1; the column counts characters
	Encoding     string
	Bytes        []byte
}

func (e *EncodingError) Error() string {
	return fmt.Sprintf("records: %s:%d:%d: byte %#x is no character in %s\nhint: name the file's encoding, as in encoding: windows-1252, or save the file as UTF-8",
		e.File, e.Line, e.Column, e.Bytes, e.Encoding)
}

// decode reads one character. It returns errDecode, and the bytes at fault in
// raw, where they are none.
type decode func(r *bufio.Reader, raw *[4]byte) (c rune, size int, err error)

var errDecode = errors.New("records: no character")

// encoding is a way to read characters out of bytes.
type encoding struct {
	name   string
	decode decode
	ascii  bool // a byte below 128 is an ASCII character
}

var (
	utf8Encoding    = encoding{"UTF-8", decodeUTF8, true}
	utf16LE         = encoding{"UTF-16LE", decodeUTF16(false), false}
	utf16BE         = encoding{"UTF-16BE", decodeUTF16(true), false}
	windows1252     = encoding{"Windows-1252", decodeCharmap(charmap.Windows1252), true}
	encodingAliases = map[string]encoding{
		"utf8": utf8Encoding, "ascii": utf8Encoding, "usascii": utf8Encoding,
		"utf16": utf16LE, "utf16le": utf16LE, "utf16be": utf16BE,
		"windows1252": windows1252, "cp1252": windows1252, "ansi": windows1252,
		"iso88591": windows1252, "latin1": windows1252,
	}
)

// encodingByName finds an encoding: UTF-8, UTF-16, Windows-1252 (which also
// reads ISO 8859-1) and the other single-byte ones by their usual names.
func encodingByName(name string) (encoding, error) {
	key := plain(name)
	if e, ok := encodingAliases[key]; ok {
		return e, nil
	}
	for _, known := range charmap.All {
		if m, ok := known.(*charmap.Charmap); ok && plain(m.String()) == key {
			return encoding{m.String(), decodeCharmap(m), false}, nil
		}
	}
	return encoding{}, fmt.Errorf("records: encoding %q is not known\nhint: use utf-8, utf-16, windows-1252, or a single-byte encoding such as macintosh or iso-8859-2", name)
}

func decodeUTF8(r *bufio.Reader, raw *[4]byte) (rune, int, error) {
	c, size, err := r.ReadRune()
	if c == utf8.RuneError && size == 1 {
		_ = r.UnreadRune()
		raw[0], _ = r.ReadByte()
		return c, 1, errDecode
	}
	return c, size, err
}

func decodeCharmap(m *charmap.Charmap) decode {
	return func(r *bufio.Reader, raw *[4]byte) (rune, int, error) {
		b, err := r.ReadByte()
		if err != nil {
			return 0, 0, err
		}
		if c := m.DecodeByte(b); c != utf8.RuneError {
			return c, 1, nil
		}
		raw[0] = b
		return utf8.RuneError, 1, errDecode
	}
}

func decodeUTF16(bigEndian bool) decode {
	unit := func(b []byte) rune {
		if bigEndian {
			return rune(b[0])<<8 | rune(b[1])
		}
		return rune(b[1])<<8 | rune(b[0])
	}
	return func(r *bufio.Reader, raw *[4]byte) (rune, int, error) {
		n, err := io.ReadFull(r, raw[:2])
		if err == io.ErrUnexpectedEOF {
			return utf8.RuneError, n, errDecode
		}
		if err != nil {
			return 0, 0, err
		}
		first := unit(raw[:2])
		if !utf16.IsSurrogate(first) {
			return first, 2, nil
		}
		next, _ := r.Peek(2)
		if len(next) == 2 {
			if c := utf16.DecodeRune(first, unit(next)); c != utf8.RuneError {
				_, _ = r.Discard(2)
				return c, 4, nil
			}
		}
		return utf8.RuneError, 2, errDecode
	}
}
