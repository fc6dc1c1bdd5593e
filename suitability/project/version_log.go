package project

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"time"
)

// versionLog is the log of a profile's versions, oldest first.
type versionLog struct {
	at
	Versions []loggedVersion `yaml:"versions" need:"yes" few:"1" doc:"one entry per version, oldest first"`
}

type loggedVersion struct {
	at
	Number   int    `yaml:"number" need:"yes" is:"[1,]" doc:"rises from entry to entry"`
	Date     day    `yaml:"date" doc:"as it was given"`
	Who      string `yaml:"who" doc:"codes will do"`
	Reason   string `yaml:"reason" need:"yes" doc:"why"`
	Evidence string `yaml:"evidence" doc:"what it rests on"`
	Restores int    `yaml:"restores" is:"[1,]" doc:"the version whose text it brought back"`
	Before   string `yaml:"before" doc:"SHA-256 of the text that it took the place of"`
	After    string `yaml:"after" need:"yes" doc:"SHA-256 of its own text"`
}

// Versions lists the profile's versions, oldest first; none where nothing was
// ever accepted.
func (f *ProfileFile) Versions() ([]Version, error) {
	_, versions, err := f.readLog()
	return versions, err
}

// readLog reads the log, with its bytes; both are nil where there is none.
func (f *ProfileFile) readLog() ([]byte, []Version, error) {
	raw, err := readRaw(f.logPath())
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, nil, nil
	case err != nil:
		return nil, nil, err
	}
	versions, err := f.parseLog(raw)
	return raw, versions, err
}

func (f *ProfileFile) parseLog(raw []byte) ([]Version, error) {
	path := f.logPath()
	text, err := textOf(path, raw)
	if err != nil {
		return nil, err
	}
	report, log := newReport(), versionLog{}
	if d := readDocument(path, text, report); d != nil {
		d.decode(d.root, valueOf(&log), "", rule{})
	}
	var versions []Version
	for i, v := range log.Versions {
		if i > 0 && v.doc != nil && v.Number <= log.Versions[i-1].Number {
			v.doc.problem(join(v.path, "number"), "", "version %d does not rise above the one before", v.Number)
		}
		versions = append(versions, Version{
			Number: v.Number, Date: v.Date.Time, Who: v.Who, Reason: v.Reason, Evidence: v.Evidence,
			Restores: v.Restores, Before: v.Before, After: v.After, File: f.keptAt(v.Number),
		})
	}
	return versions, report.err()
}

// appended is the log's bytes with more versions at its end. What stands there
// already is kept byte for byte.
func (f *ProfileFile) appended(log []byte, more []Version) []byte {
	var b bytes.Buffer
	b.Write(log)
	if len(log) == 0 {
		fmt.Fprintf(&b, "# The versions of %s, oldest first; their texts lie beside it. Written by tussock.\nversions:\n", filepath.Base(f.Path))
	} else if !bytes.HasSuffix(log, []byte("\n")) {
		b.WriteByte('\n')
	}
	for _, v := range more {
		fmt.Fprintf(&b, "  - number: %d\n", v.Number)
		entry := func(key, text string) {
			if text != "" {
				fmt.Fprintf(&b, "    %s: %s\n", key, text)
			}
		}
		if !v.Date.IsZero() {
			entry("date", v.Date.Format(time.DateOnly))
		}
		entry("who", yamlText(v.Who))
		entry("reason", yamlText(v.Reason))
		entry("evidence", yamlText(v.Evidence))
		if v.Restores > 0 {
			entry("restores", strconv.Itoa(v.Restores))
		}
		entry("before", yamlText(v.Before))
		entry("after", yamlText(v.After))
	}
	return b.Bytes()
}

// yamlText is a text in double quotes on one line, as YAML reads it.
func yamlText(text string) string {
	text = strings.Join(strings.Fields(printable(text)), " ")
	if text == "" {
		return ""
	}
	return `"` + strings.NewReplacer(`\`, `\\`, `"`, `\"`).Replace(text) + `"`
}

var keptNumber = regexp.MustCompile(`\.v([0-9]{1,9})$`)

// greatestNumber is the greatest version number that is taken, by the log or by
// a text that lies beside it.
func (f *ProfileFile) greatestNumber(versions []Version) (int, error) {
	greatest := 0
	for _, v := range versions {
		greatest = max(greatest, v.Number)
	}
	names, err := namesIn(filepath.Dir(f.Path))
	for _, name := range names {
		stem := strings.TrimSuffix(name, filepath.Ext(name))
		parts := keptNumber.FindStringSubmatch(stem)
		if parts == nil || strings.TrimSuffix(stem, parts[0]) != filepath.Base(f.stem()) {
			continue
		}
		n, _ := strconv.Atoi(parts[1])
		greatest = max(greatest, n)
	}
	return greatest, err
}

func namesIn(folder string) ([]string, error) {
	d, err := os.Open(folder)
	if err != nil {
		return nil, err
	}
	defer d.Close()
	return d.Readdirnames(-1)
}
