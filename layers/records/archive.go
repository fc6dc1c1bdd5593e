package records

import (
	"archive/zip"
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"strings"
)

// Bounds on an archive, so that a small file cannot unpack into a large one.
const (
	freeUnpacked  = 64 << 20 // bytes that may unpack at any ratio
	mostRatio     = 200      // above that, unpacked bytes per packed byte; tables reach 20
	metaFileBytes = 1 << 20
)

// ErrArchive is wrapped by every error about an archive that does not keep to
// the Darwin Core text guide, or does not look safe to unpack.
var ErrArchive = errors.New("records: not a usable Darwin Core archive")

// archive is an open archive: a folder or a zip.
type archive struct {
	file  string // as the project names it
	files fs.FS
	close func() error
}

func isArchiveFolder(folder string) bool {
	info, err := os.Stat(filepath.Join(folder, "meta.xml"))
	return err == nil && info.Mode().IsRegular()
}

// folderArchive opens a folder so that no name or link leads out of it.
func folderArchive(folder string) (*archive, error) {
	root, err := os.OpenRoot(folder)
	if err != nil {
		return nil, fmt.Errorf("records: %w", err)
	}
	return &archive{file: folder, files: root.FS(), close: root.Close}, nil
}

// zipArchive opens a zip at the folder with its meta.xml, or else, with isArchive
// false, at its root.
func zipArchive(file string) (a *archive, z *zip.Reader, isArchive bool, err error) {
	opened, err := zip.OpenReader(file)
	if err != nil {
		return nil, nil, false, fmt.Errorf("records: %s: %w", file, err)
	}
	a = &archive{file: file, files: opened, close: opened.Close}
	folder, isArchive := metaFolder(&opened.Reader)
	if isArchive {
		if a.files, err = fs.Sub(opened, folder); err != nil {
			return nil, nil, false, errors.Join(err, opened.Close())
		}
	}
	return a, &opened.Reader, isArchive, nil
}

func openArchiveFolder(s Source) (*table, error) {
	a, err := folderArchive(s.File)
	if err != nil {
		return nil, err
	}
	return openArchive(a)
}

// openArchiveZip opens a zip: an archive where it has a meta.xml, a plain table
// where a table is all it has, else whatever the vector library makes of it.
func openArchiveZip(ctx context.Context, s Source) (*table, error) {
	a, z, isArchive, err := zipArchive(s.File)
	if err != nil {
		return nil, err
	}
	if isArchive {
		return openArchive(a)
	}
	if only := onlyTable(z); only != "" {
		return a.openTable(only, s)
	}
	if err := a.close(); err != nil {
		return nil, fmt.Errorf("records: %s: %w", s.File, err)
	}
	return openVector(ctx, s)
}

// metaFolder is where in a zip meta.xml lies: at its root, or in the one folder
// that somebody zipped whole.
func metaFolder(z *zip.Reader) (string, bool) {
	if _, err := fs.Stat(z, "meta.xml"); err == nil {
		return ".", true
	}
	found, err := fs.Glob(z, "*/meta.xml")
	if err != nil || len(found) != 1 {
		return "", false
	}
	return path.Dir(found[0]), true
}

func onlyTable(z *zip.Reader) string {
	var files []string
	for _, f := range z.File {
		if !strings.HasSuffix(f.Name, "/") && !strings.HasPrefix(f.Name, "__MACOSX/") && fs.ValidPath(f.Name) {
			files = append(files, f.Name)
		}
	}
	if len(files) == 1 && isTableName(files[0]) {
		return files[0]
	}
	return ""
}

func isTableName(name string) bool {
	switch strings.ToLower(path.Ext(name)) {
	case ".csv", ".tsv", ".txt", ".tab":
		return true
	}
	return false
}

// openTable opens the one table of a zip.
func (a *archive) openTable(name string, s Source) (*table, error) {
	s.File = filepath.Join(a.file, name)
	t, err := openDelimited(s, func() (io.ReadCloser, error) { return a.open(name) })
	if err != nil {
		return nil, errors.Join(err, a.close())
	}
	closeTable := t.close
	t.close = func() error { return errors.Join(closeTable(), a.close()) }
	return t, nil
}

// open opens one of the archive's files, within bounds. A name that leads out
// of the archive, or to the network, is refused.
func (a *archive) open(name string) (io.ReadCloser, error) {
	if strings.Contains(name, "://") {
		return nil, fmt.Errorf("%w: %s: file %q lies on the network\nhint: put it into the archive", ErrArchive, a.file, name)
	}
	if !fs.ValidPath(name) || strings.Contains(name, `\`) {
		return nil, fmt.Errorf("%w: %s: file name %q leads out of the archive", ErrArchive, a.file, name)
	}
	f, err := a.files.Open(name)
	if err != nil {
		return nil, fmt.Errorf("%w: %s: %w", ErrArchive, a.file, err)
	}
	info, err := f.Stat()
	if err != nil || !info.Mode().IsRegular() {
		return nil, errors.Join(fmt.Errorf("%w: %s: %s is no file", ErrArchive, a.file, name), f.Close())
	}
	packed := info.Size()
	if header, ok := info.Sys().(*zip.FileHeader); ok {
		packed = int64(min(header.CompressedSize64, 1<<62))
	}
	return &bounded{ReadCloser: f, name: filepath.Join(a.file, name), packed: packed}, nil
}

// bounded stops reading a file that unpacks beyond all measure.
type bounded struct {
	io.ReadCloser
	name         string
	packed, read int64
}

func (b *bounded) Read(p []byte) (int, error) {
	n, err := b.ReadCloser.Read(p)
	b.read += int64(n)
	if b.read > freeUnpacked && b.read/mostRatio > b.packed {
		return 0, fmt.Errorf("%w: %s unpacks to more than %d times its size", ErrArchive, b.name, mostRatio)
	}
	return n, err
}
