package project

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"

	"tussock/layers"
)

// ErrNothingFound is returned where a folder holds nothing to start from.
var ErrNothingFound = errors.New("project: no raster or vector that a grid could be made from")

// Start looks through a folder for rasters, vectors and tables of records, and
// writes a first project file for it: commented, with one example species whose
// values are marked as assumptions. What it writes passes [Open]. What it
// cannot use is named in a comment, with the reason.
func Start(folder string) ([]byte, error) {
	s := &starter{folder: folder, ctx: context.Background(), names: map[string]bool{}}
	if err := s.scan(); err != nil {
		return nil, err
	}
	if err := s.chooseGrid(); err != nil {
		return nil, err
	}
	s.tryLayers()
	if len(s.layers) == 0 {
		return nil, fmt.Errorf("%w in %s%s", ErrNothingFound, folder, s.reasons())
	}
	s.tryRecords()
	text := s.write()
	if err := s.verify(text); err != nil {
		return nil, fmt.Errorf("project: the first project file for %s does not pass: %w", folder, err)
	}
	return []byte(text), nil
}

// verify holds what was written against the checks that it will meet.
func (s *starter) verify(text string) error {
	r := readProject(filepath.Join(s.folder, FileName), text)
	if err := r.err(); err != nil {
		return err
	}
	o, err := r.open(s.ctx)
	if err != nil {
		return err
	}
	return o.Close()
}

// starter is a project file in the making.
type starter struct {
	folder  string
	ctx     context.Context
	rasters []foundRaster
	vectors []foundVector
	tables  []string // relative paths
	left    []leftOut
	names   map[string]bool // of layers, taken

	grid    layers.Grid
	like    string // the layer that the grid is taken from, "" for none
	layers  []startLayer
	ranges  []startRanges
	records []startRecords
}

// leftOut is a file that was not used, and why.
type leftOut struct{ file, reason string }

// layerMark is how package layers starts an error about a layer; here the file
// is named already.
var layerMark = regexp.MustCompile(`^layer "[^"]*" \([^)]*\): `)

func (s *starter) leave(file string, err error) {
	message, _ := split(err)
	message = strings.ReplaceAll(message, filepath.Clean(s.folder)+string(filepath.Separator), "")
	s.left = append(s.left, leftOut{file, oneLine(layerMark.ReplaceAllString(message, ""))})
}

func (s *starter) reasons() string {
	text := ""
	for _, l := range s.left {
		text += "\n  " + l.file + ": " + l.reason
	}
	return text
}

// maxScanned bounds a folder that is no project's.
const maxScanned = 10_000

// scan sorts the files of a folder, and of the folders in it, by what they are.
func (s *starter) scan() error {
	if info, err := os.Stat(s.folder); err != nil {
		return err
	} else if !info.IsDir() {
		return fmt.Errorf("project: %s is not a folder", s.folder)
	}
	files, err := s.files()
	if err != nil {
		return err
	}
	for _, file := range files {
		switch kindOfFile(file) {
		case rasterFile:
			s.findRaster(file)
		case vectorFile:
			s.findVectors(file)
		case tableFile:
			s.tables = append(s.tables, file)
		}
	}
	return nil
}
