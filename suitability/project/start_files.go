package project

import (
	"cmp"
	"fmt"
	"io/fs"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
)

type fileKind int

const (
	otherFile fileKind = iota
	rasterFile
	vectorFile
	tableFile
)

var fileKinds = map[string]fileKind{
	".tif": rasterFile, ".tiff": rasterFile, ".img": rasterFile, ".vrt": rasterFile, ".asc": rasterFile,
	".gpkg": vectorFile, ".shp": vectorFile, ".geojson": vectorFile, ".fgb": vectorFile, ".gml": vectorFile, ".kml": vectorFile,
	".csv": tableFile, ".tsv": tableFile, ".txt": tableFile, ".zip": tableFile,
}

func kindOfFile(name string) fileKind { return fileKinds[strings.ToLower(filepath.Ext(name))] }

// files lists a folder two levels deep, with slashes and sorted; hidden files
// and the usual output folder are left out.
func (s *starter) files() ([]string, error) {
	var list []string
	seen := 0
	err := filepath.WalkDir(s.folder, func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if seen++; seen > maxScanned {
			return fmt.Errorf("project: %s holds more than %d files; name the folder of the project's data", s.folder, maxScanned)
		}
		name, err := filepath.Rel(s.folder, path)
		if err != nil || name == "." {
			return err
		}
		name = filepath.ToSlash(name)
		switch {
		case d.IsDir() && (d.Name() == "out" || strings.HasPrefix(d.Name(), ".") || strings.Count(name, "/") > 0):
			return fs.SkipDir
		case d.Type().IsRegular() && !strings.HasPrefix(d.Name(), "."):
			list = append(list, name)
		}
		return nil
	})
	// The folder's own files come first, and get the short names.
	slices.SortFunc(list, func(a, b string) int {
		return cmp.Or(cmp.Compare(strings.Count(a, "/"), strings.Count(b, "/")), cmp.Compare(a, b))
	})
	return list, err
}

func (s *starter) path(file string) string { return filepath.Join(s.folder, filepath.FromSlash(file)) }

// nameFor makes a layer's name out of a file's, unique in the project.
func (s *starter) nameFor(file string) string {
	stem := strings.TrimSuffix(filepath.Base(file), filepath.Ext(file))
	name := cmp.Or(slug(stem), "layer")
	for i := 2; s.names[name]; i++ {
		name = cmp.Or(slug(stem), "layer") + "_" + strconv.Itoa(i)
	}
	s.names[name] = true
	return name
}

var notInSlug = regexp.MustCompile(`[^a-z0-9]+`)

// slug is a text in lower case with _ between its words.
func slug(text string) string {
	return strings.Trim(notInSlug.ReplaceAllString(strings.ToLower(text), "_"), "_")
}

func oneLine(text string) string {
	words := []rune(strings.Join(strings.Fields(printable(text)), " "))
	if len(words) > 160 {
		words = append(words[:160], '…')
	}
	return string(words)
}
