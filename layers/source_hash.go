package layers

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"hash"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
)

// companions are files beside a source, by what follows its stem, that change
// what GDAL reads from it.
var companions = []string{".aux.xml", ".prj", ".tfw", ".wld", ".dbf", ".shx", ".cpg", ".qpj", ".hdr", ".csvt", ".vrt"}

// HashSource is the SHA-256 of a source's content, as hexadecimal: of the file
// and of the companions beside it, or of every file of a folder. A source that
// is no local file, such as a database or object storage, is known by its text
// alone; stored is then false, and a change behind it goes unnoticed.
func HashSource(source string) (sum string, stored bool, err error) {
	h := sha256.New()
	info, err := os.Stat(source)
	switch {
	case err != nil:
		io.WriteString(h, source)
		return hex.EncodeToString(h.Sum(nil)), false, nil
	case info.IsDir():
		err = hashFolder(h, source)
	default:
		err = hashFiles(h, source)
	}
	if err != nil {
		return "", true, fmt.Errorf("layers: reading %s: %w", source, err)
	}
	return hex.EncodeToString(h.Sum(nil)), true, nil
}

func hashFiles(h hash.Hash, source string) error {
	if err := hashFile(h, source); err != nil {
		return err
	}
	stem := strings.TrimSuffix(source, filepath.Ext(source))
	var beside []string
	for _, ending := range companions {
		beside = append(beside, source+ending, stem+ending)
	}
	slices.Sort(beside)
	for _, path := range slices.Compact(beside) {
		if path == source {
			continue
		}
		if err := hashFile(h, path); err != nil && !os.IsNotExist(err) {
			return err
		}
	}
	return nil
}

func hashFolder(h hash.Hash, folder string) error {
	return filepath.WalkDir(folder, func(path string, d fs.DirEntry, err error) error {
		if err != nil || !d.Type().IsRegular() {
			return err
		}
		return hashFile(h, path)
	})
}

// hashFile adds a file's name, length and content.
func hashFile(h hash.Hash, path string) error {
	f, err := os.Open(path)
	if err != nil {
		return err
	}
	defer f.Close()
	info, err := f.Stat()
	if err != nil {
		return err
	}
	fmt.Fprintf(h, "%s %d\n", filepath.Base(path), info.Size())
	_, err = io.Copy(h, f)
	return err
}
