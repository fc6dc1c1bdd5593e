package records

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
	"unicode/utf8"
)

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
