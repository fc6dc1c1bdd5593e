package records

import (
	"bufio"
	"bytes"
	"io"
	"unicode/utf8"
)

// line is one physical line without its end.
type line struct {
	text    []byte
	number  int
	tooLong bool
}

// lineReader reads lines and can take some back.
type lineReader struct {
	in     *bufio.Reader
	number int
	skip   bool // the last line ended with CR: an LF right behind it is part of that
	back   []line
}

func newLineReader(r io.Reader) lineReader { return lineReader{in: bufio.NewReaderSize(r, 64<<10)} }

func (l *lineReader) putBack(lines []line) { l.back = append(lines, l.back...) }

func (l *lineReader) next() (line, error) {
	if len(l.back) > 0 {
		first := l.back[0]
		l.back = l.back[1:]
		return first, nil
	}
	l.number++
	current := line{number: l.number}
	for {
		run, end, err := l.run()
		if room := maxRowBytes - len(current.text); len(run) > room {
			current.tooLong = true
			run = run[:room]
		}
		current.text = append(current.text, run...)
		switch {
		case err == io.EOF && len(current.text) > 0:
			return current.measured(), nil
		case err != nil:
			return line{}, err
		case end:
			return current.measured(), nil
		}
	}
}

// run takes what is buffered of a line, and its end if that is there too.
func (l *lineReader) run() (run []byte, end bool, err error) {
	next, err := l.in.Peek(1)
	if err != nil {
		return nil, false, err
	}
	if l.skip {
		if l.skip = false; next[0] == '\n' {
			_, _ = l.in.Discard(1)
			return l.run()
		}
	}
	run, _ = l.in.Peek(l.in.Buffered())
	at := bytes.IndexAny(run, "\r\n")
	if at < 0 {
		_, _ = l.in.Discard(len(run))
		return run, false, nil
	}
	l.skip = run[at] == '\r'
	_, _ = l.in.Discard(at + 1)
	return run[:at], true, nil
}

// measured ends a line; of one that is too long only the start is kept.
func (c line) measured() line {
	if c.tooLong {
		end := keptText
		for end > 0 && !utf8.RuneStart(c.text[end]) {
			end--
		}
		c.text = bytes.Clone(c.text[:end])
	}
	return c
}
