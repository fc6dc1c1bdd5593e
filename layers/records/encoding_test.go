package records

import (
	"bytes"
	"errors"
	"io"
	"testing"
	"unicode/utf8"

	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/unicode"
	"pgregory.net/rapid"
)

const sample = "scientificName,recordedBy\nNatrix natrix,Zoë Müller\nVipera berus,Åsa 𝄞\n"

func decodeAll(t *testing.T, data []byte) (string, string, error) {
	t.Helper()
	e, err := detectEncoding(bytes.NewReader(data), "f.csv")
	if err != nil {
		return "", "", err
	}
	text, err := io.ReadAll(newTextReader(bytes.NewReader(data), "f.csv", e))
	return string(text), e.name, err
}

// The encoders are those of golang.org/x/text, which the decoding of UTF-16
// here does not use.
func TestDetectEncoding(t *testing.T) {
	utf16 := func(order unicode.Endianness, mark unicode.BOMPolicy) []byte {
		b, err := unicode.UTF16(order, mark).NewEncoder().Bytes([]byte(sample))
		if err != nil {
			t.Fatal(err)
		}
		return b
	}
	for name, c := range map[string]struct {
		data []byte
		want string
	}{
		"UTF-8":                 {[]byte(sample), "UTF-8"},
		"UTF-8 with mark":       {append([]byte("\xef\xbb\xbf"), sample...), "UTF-8"},
		"UTF-16LE with mark":    {utf16(unicode.LittleEndian, unicode.UseBOM), "UTF-16LE"},
		"UTF-16BE with mark":    {utf16(unicode.BigEndian, unicode.UseBOM), "UTF-16BE"},
		"UTF-16LE without mark": {utf16(unicode.LittleEndian, unicode.IgnoreBOM), "UTF-16LE"},
		"UTF-16BE without mark": {utf16(unicode.BigEndian, unicode.IgnoreBOM), "UTF-16BE"},
	} {
		got, encoding, err := decodeAll(t, c.data)
		if err != nil || encoding != c.want || got != sample {
			t.Errorf("%s: %s, %v: %q", name, encoding, err, got)
		}
	}
	const western = "name\nZoë Müller – “Åsa”\n"
	data, err := charmap.Windows1252.NewEncoder().Bytes([]byte(western))
	if err != nil {
		t.Fatal(err)
	}
	if got, encoding, err := decodeAll(t, data); err != nil || encoding != "Windows-1252" || got != western {
		t.Errorf("Windows-1252: %s, %v: %q", encoding, err, got)
	}
}

func TestUndecodableHasPlace(t *testing.T) {
	for name, c := range map[string]struct {
		data         string
		line, column int
	}{
		"UTF-8 and Windows-1252 mixed": {"é\nab\xe9c\n", 2, 3},
		"mixed, the other way round":   {"a\xe9c\r\né\n", 1, 2},
		"no Windows-1252 either":       {"a\nb\nxyz\x81\n", 3, 4},
		"half a UTF-16 character":      {"\xff\xfea\x00\n\x00b\x00c", 2, 2},
		"lone surrogate":               {"\xff\xfea\x00\x00\xd8b\x00", 1, 2},
		"line ends of old":             {"é\ra\xe9\r", 2, 2},
	} {
		_, _, err := decodeAll(t, []byte(c.data))
		var wrong *EncodingError
		if !errors.As(err, &wrong) {
			t.Errorf("%s: %v", name, err)
			continue
		}
		if wrong.Line != c.line || wrong.Column != c.column {
			t.Errorf("%s: at %d:%d, want %d:%d", name, wrong.Line, wrong.Column, c.line, c.column)
		}
	}
}

func TestEncodingByName(t *testing.T) {
	for name, want := range map[string]string{
		"utf-8": "UTF-8", "UTF8": "UTF-8", "Latin1": "Windows-1252", "ISO-8859-1": "Windows-1252",
		"cp1252": "Windows-1252", "iso-8859-2": "ISO 8859-2", "macintosh": "Macintosh", "utf-16": "UTF-16LE",
	} {
		if e, err := encodingByName(name); err != nil || e.name != want {
			t.Errorf("%s: %s, %v; want %s", name, e.name, err, want)
		}
	}
	if _, err := encodingByName("ebcdic-xyz"); err == nil {
		t.Error("an encoding was made up")
	}
}

// Law: any valid text comes back whatever the size of the reads.
func TestTextReaderIsFaithful(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.StringOf(rapid.Rune()).Filter(utf8.ValidString).Draw(t, "text")
		if len(text) >= 3 && text[:3] == "\xef\xbb\xbf" {
			return
		}
		r := newTextReader(bytes.NewReader([]byte(text)), "f", utf8Encoding)
		var got []byte
		buffer := make([]byte, rapid.IntRange(1, 9).Draw(t, "read"))
		for {
			n, err := r.Read(buffer)
			got = append(got, buffer[:n]...)
			if err == io.EOF {
				break
			}
			if err != nil {
				t.Fatal(err)
			}
		}
		if string(got) != text {
			t.Fatalf("%q became %q", text, got)
		}
	})
}
