package records

import (
	"bufio"
	"bytes"
	"io"
	"strings"
	"unicode/utf8"
)

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
