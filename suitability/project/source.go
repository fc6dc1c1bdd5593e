package project

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"unicode/utf8"

	"tussock/layers"
)

// maxFileBytes is far above what people write and far below what hurts.
const maxFileBytes = 8 << 20

// readText reads a file as UTF-8, without a byte order mark. A missing or
// unreadable file is returned as it is; one that is no text is a Problem.
func readText(path string) (string, error) {
	f, err := os.Open(path)
	if err != nil {
		return "", err
	}
	defer f.Close()
	info, err := f.Stat()
	if err == nil && info.IsDir() {
		return "", Problem{File: path, Message: "this is a folder, not a file"}
	}
	raw, err := io.ReadAll(io.LimitReader(f, maxFileBytes+1))
	if err != nil {
		return "", err
	}
	return textOf(path, raw)
}

func textOf(path string, raw []byte) (string, error) {
	if len(raw) > maxFileBytes {
		return "", Problem{File: path, Message: fmt.Sprintf("the file is larger than %d MiB", maxFileBytes>>20),
			Hint: "is this the project file? Species profiles can sit in files of their own: `- file: species/adder.yaml`"}
	}
	if name := wideEncoding(raw); name != "" {
		return "", Problem{File: path, Message: "the file is written in " + name + ", not in UTF-8", Hint: "save it again as UTF-8"}
	}
	text := string(bytes.TrimPrefix(raw, []byte("\xef\xbb\xbf")))
	text = strings.NewReplacer("\r\n", "\n", "\r", "\n").Replace(text) // YAML 1.2.2, section 5.4
	if err := checkCharacters(path, text); err != nil {
		return "", err
	}
	return text, nil
}

// wideEncoding recognises UTF-16 and UTF-32 by byte order mark, or by the zero
// bytes that a first ASCII character leaves (as YAML 1.2.2, section 5.2, does).
func wideEncoding(raw []byte) string {
	starts := func(mark string) bool { return bytes.HasPrefix(raw, []byte(mark)) }
	zero := func(pattern string) bool {
		if len(raw) < len(pattern) {
			return false
		}
		for i := range pattern {
			if (raw[i] == 0) != (pattern[i] == '0') {
				return false
			}
		}
		return true
	}
	switch {
	case starts("\x00\x00\xfe\xff"), starts("\xff\xfe\x00\x00"), zero("000x"), zero("x000"):
		return "UTF-32"
	case starts("\xfe\xff"), starts("\xff\xfe"), zero("0x0x"), zero("x0x0"):
		return "UTF-16"
	}
	return ""
}

// checkCharacters refuses bytes that are no UTF-8 and control characters, which
// YAML does not allow either.
func checkCharacters(path, text string) error {
	line, column := 1, 1
	for i, r := range text {
		switch {
		case r == utf8.RuneError && !strings.HasPrefix(text[i:], "\ufffd"):
			return Problem{File: path, Line: line, Column: column,
				Message: fmt.Sprintf("byte 0x%02X is not UTF-8", text[i]),
				Hint:    "the file seems to be in Latin-1 or Windows-1252; save it again as UTF-8",
				Excerpt: excerpt(strings.Split(strings.ToValidUTF8(text, "?"), "\n"), line, column)}
		case r == '\n':
			line, column = line+1, 0
		case r < ' ' && r != '\t' || r == 0x7f:
			return Problem{File: path, Line: line, Column: column,
				Message: fmt.Sprintf("control character 0x%02X in the text", r), Hint: "delete it; is this a text file?"}
		}
		column++
	}
	return nil
}

// besides is the name in a missing file's folder that was most likely meant.
func besides(path string) string {
	folder, err := os.Open(filepath.Dir(path))
	if err != nil {
		return ""
	}
	defer folder.Close()
	names, err := folder.Readdirnames(10000)
	if err != nil && !errors.Is(err, io.EOF) {
		return ""
	}
	return layers.Closest(filepath.Base(path), names)
}

// cannotRead puts a file error into words without repeating the path.
func cannotRead(err error) string {
	var problem Problem
	switch {
	case errors.As(err, &problem):
		return problem.Message
	case errors.Is(err, fs.ErrNotExist):
		return "there is no such file"
	case errors.Is(err, fs.ErrPermission):
		return "it may not be read"
	}
	var path *fs.PathError
	if errors.As(err, &path) {
		return path.Err.Error()
	}
	return err.Error()
}
