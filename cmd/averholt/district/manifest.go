package district

import (
	"bufio"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
)

// manifestName is the file that tells which files of a folder are the
// district's own.
const manifestName = ".averholt"

// manifest is the district's own files: by their path, with slashes, the
// SHA-256 sums that each may have.
type manifest map[string][]string

// ErrNotADistrict is returned for a folder that holds something else.
var ErrNotADistrict = errors.New("the folder holds something else than a district")

// readManifest reads a folder's manifest: an empty one where there is nothing
// yet, an error where there is something that is no district.
func readManifest(folder string) (manifest, error) {
	entries, err := os.ReadDir(folder)
	if errors.Is(err, fs.ErrNotExist) || err == nil && len(entries) == 0 {
		return manifest{}, nil
	}
	if err != nil {
		return nil, err
	}
	f, err := os.Open(filepath.Join(folder, manifestName))
	if errors.Is(err, fs.ErrNotExist) {
		return nil, fmt.Errorf("%s: %w\nhint: name a new folder, or an empty one", folder, ErrNotADistrict)
	}
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return parseManifest(f, folder)
}

// parseManifest refuses paths that lead out of the folder, since files that an
// older manifest names are taken away.
func parseManifest(r io.Reader, folder string) (manifest, error) {
	m := manifest{}
	lines := bufio.NewScanner(r)
	for n := 1; lines.Scan(); n++ {
		sum, name, ok := strings.Cut(lines.Text(), "  ")
		if !ok || len(sum) != 2*sha256.Size || !filepath.IsLocal(filepath.FromSlash(name)) {
			return nil, fmt.Errorf("%s:%d: this is no sum and path: %w\nhint: name a new folder", filepath.Join(folder, manifestName), n, ErrNotADistrict)
		}
		m[name] = append(m[name], sum)
	}
	return m, lines.Err()
}

// manifestOf sums up all files of a folder.
func manifestOf(folder string) (manifest, error) {
	m := manifest{}
	err := filepath.WalkDir(folder, func(path string, e fs.DirEntry, err error) error {
		if err != nil || e.IsDir() {
			return err
		}
		name, err := filepath.Rel(folder, path)
		if err != nil {
			return err
		}
		sum, err := sumOf(path)
		m[filepath.ToSlash(name)] = []string{sum}
		return err
	})
	return m, err
}

func sumOf(path string) (string, error) {
	f, err := os.Open(path)
	if err != nil {
		return "", err
	}
	defer f.Close()
	sum := sha256.New()
	if _, err := io.Copy(sum, f); err != nil {
		return "", fmt.Errorf("%s: %w", path, err)
	}
	return hex.EncodeToString(sum.Sum(nil)), nil
}

// checkOwn tests that every file that would be replaced or taken away is as a
// district wrote it.
func (m manifest) checkOwn(folder string, made manifest) error {
	for _, name := range m.with(made).names() {
		path := filepath.Join(folder, filepath.FromSlash(name))
		if _, err := os.Lstat(path); errors.Is(err, fs.ErrNotExist) {
			continue
		}
		sum, err := sumOf(path)
		if err != nil {
			return err
		}
		if !slices.Contains(m[name], sum) && !slices.Contains(made[name], sum) {
			return fmt.Errorf("%s: it was changed since the district was written, or never was the district's\nhint: move it away, or name a new folder", path)
		}
	}
	return nil
}

// with is both manifests in one.
func (m manifest) with(other manifest) manifest {
	both := manifest{}
	for _, one := range []manifest{m, other} {
		for name, sums := range one {
			both[name] = append(both[name], sums...)
		}
	}
	return both
}

func (m manifest) names() []string { return slices.Sorted(maps.Keys(m)) }

// write puts the manifest into its folder in one step.
func (m manifest) write(folder string) error {
	var text strings.Builder
	for _, name := range m.names() {
		for _, sum := range m[name] {
			fmt.Fprintf(&text, "%s  %s\n", sum, name)
		}
	}
	path := filepath.Join(folder, manifestName)
	if err := os.WriteFile(path+".new", []byte(text.String()), 0o644); err != nil {
		return err
	}
	return os.Rename(path+".new", path)
}
