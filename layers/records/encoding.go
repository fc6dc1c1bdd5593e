package records

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
	"strings"
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

// textReader turns bytes into characters and counts lines and columns, so that
// a byte at fault is named with its place.
type textReader struct {
	in           *bufio.Reader
	file         string
	encoding     encoding
	line, column int
	afterCR      bool
	pending      []byte
	buffer       [utf8.UTFMax]byte
}

func newTextReader(r io.Reader, file string, e encoding) *textReader {
	t := &textReader{in: bufio.NewReaderSize(r, 64<<10), file: file, encoding: e, line: 1}
	if mark, _ := t.in.Peek(3); e.name == utf8Encoding.name && string(mark) == "\xef\xbb\xbf" {
		_, _ = t.in.Discard(3)
	} else if len(mark) >= 2 && strings.HasPrefix(e.name, "UTF-16") {
		t.skipMark16(mark)
	}
	return t
}

// skipMark16 takes a byte order mark away, and its word over the encoding's own.
func (t *textReader) skipMark16(mark []byte) {
	switch {
	case mark[0] == 0xff && mark[1] == 0xfe:
		t.encoding = utf16LE
	case mark[0] == 0xfe && mark[1] == 0xff:
		t.encoding = utf16BE
	default:
		return
	}
	_, _ = t.in.Discard(2)
}

// Read gives UTF-8.
func (t *textReader) Read(p []byte) (n int, err error) {
	n = copy(p, t.pending)
	t.pending = t.pending[n:]
	n += t.copyPlain(p[n:])
	for n+utf8.UTFMax <= len(p) {
		if n > 0 && t.in.Buffered() == 0 {
			return n, nil
		}
		c, err := t.next()
		if err != nil {
			return n, err
		}
		n += utf8.EncodeRune(p[n:], c)
		n += t.copyPlain(p[n:])
	}
	if n == 0 && len(p) > 0 {
		c, err := t.next()
		if err != nil {
			return 0, err
		}
		all := utf8.AppendRune(t.buffer[:0], c)
		n = copy(p, all)
		t.pending = all[n:]
	}
	return n, nil
}

// copyPlain copies the run of plain characters (ASCII, no line end) that is
// buffered: nearly all of most texts.
func (t *textReader) copyPlain(p []byte) int {
	if !t.encoding.ascii {
		return 0
	}
	run, _ := t.in.Peek(min(t.in.Buffered(), len(p)))
	n := 0
	for n < len(run) && run[n] < utf8.RuneSelf && run[n] != '\n' && run[n] != '\r' {
		n++
	}
	if n == 0 {
		return 0
	}
	copy(p, run[:n])
	_, _ = t.in.Discard(n)
	t.column, t.afterCR = t.column+n, false
	return n
}

func (t *textReader) next() (rune, error) {
	var raw [4]byte
	c, size, err := t.encoding.decode(t.in, &raw)
	t.column++
	if err == errDecode {
		return 0, &EncodingError{t.file, t.line, t.column, t.encoding.name, bytes.Clone(raw[:size])}
	}
	if c == '\r' || c == '\n' && !t.afterCR {
		t.line, t.column = t.line+1, 0
	} else if c == '\n' {
		t.column = 0
	}
	t.afterCR = c == '\r'
	return c, err
}

// detectEncoding reads a whole text and says how it is written: by its byte
// order mark, as UTF-16 where every other byte near its start is 0, as UTF-8
// where all of it is, and as Windows-1252 where some bytes are no UTF-8 and
// nothing else hints at UTF-8. A mixture is an error with its place.
func detectEncoding(r io.Reader, file string) (encoding, error) {
	in := bufio.NewReaderSize(r, 64<<10)
	start, _ := in.Peek(4096)
	switch {
	case bytes.HasPrefix(start, []byte{0xff, 0xfe}), looksUTF16(start, 1):
		return utf16LE, nil
	case bytes.HasPrefix(start, []byte{0xfe, 0xff}), looksUTF16(start, 0):
		return utf16BE, nil
	}
	marked := bytes.HasPrefix(start, []byte("\xef\xbb\xbf"))
	return scanUTF8(in, file, marked)
}

// scanUTF8 tells UTF-8 from Windows-1252.
func scanUTF8(in *bufio.Reader, file string, marked bool) (encoding, error) {
	t := &textReader{in: in, file: file, encoding: utf8Encoding, line: 1}
	var wrong *EncodingError
	multibyte := marked
	skipped := make([]byte, 4096)
	for {
		t.copyPlain(skipped)
		c, err := t.next()
		var bad *EncodingError
		switch {
		case errors.As(err, &bad):
			if wrong == nil {
				wrong = bad
			}
		case err == io.EOF:
			if wrong == nil {
				return utf8Encoding, nil
			}
			return windows1252, nil
		case err != nil:
			return encoding{}, fmt.Errorf("records: %s: %w", file, err)
		default:
			multibyte = multibyte || c >= utf8.RuneSelf
		}
		if wrong != nil && multibyte {
			return encoding{}, wrong
		}
	}
}

// looksUTF16 tells whether at least a third of the bytes at odd or even places
// are 0 and none of the others.
func looksUTF16(start []byte, zeroAt int) bool {
	zeros, others := 0, 0
	for i, b := range start {
		switch {
		case b != 0:
		case i%2 == zeroAt:
			zeros++
		default:
			others++
		}
	}
	return others == 0 && zeros > 0 && zeros*6 >= len(start)
}
