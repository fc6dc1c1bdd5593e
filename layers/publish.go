package layers

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
)

// Publish writes a file so that its final name never holds half of it: the
// bytes go to a temporary file in the same folder, reach the disk, and are then
// renamed. Where write or any step after it fails, the temporary file is
// removed and whatever stood under the name before stays.
func Publish(path string, write func(w io.Writer) error) error {
	return PublishFile(path, func(f *os.File) error {
		buffered := bufio.NewWriterSize(f, 1<<16)
		if err := write(buffered); err != nil {
			return err
		}
		return buffered.Flush()
	})
}

// PublishFile is Publish for writers that seek, or that open the file again by
// its name (f.Name(), which lies in the final folder). A write that replaces
// the file under that name loses its bytes: what is published is f itself.
func PublishFile(path string, write func(f *os.File) error) error {
	f, err := createTemp(path)
	if err != nil {
		return err
	}
	published := false
	defer func() {
		if !published {
			f.Close()
			os.Remove(f.Name())
		}
	}()
	if err = write(f); err != nil {
		return err
	}
	if err = f.Sync(); err != nil {
		return fmt.Errorf("layers: %w", err)
	}
	if err = f.Close(); err != nil {
		return fmt.Errorf("layers: %w", err)
	}
	if err = os.Rename(f.Name(), path); err != nil {
		return fmt.Errorf("layers: %w", err)
	}
	published = true
	return SyncFolder(filepath.Dir(path))
}

// createTemp makes a new file beside path whose name starts with a dot and ends
// in .tmp. Unlike os.CreateTemp it leaves the permissions to the umask, as a
// file that others are meant to read needs.
func createTemp(path string) (*os.File, error) {
	folder, base := filepath.Split(path)
	for n := 0; ; n++ {
		name := filepath.Join(folder, fmt.Sprintf(".%s.%d-%d.tmp", base, os.Getpid(), n))
		f, err := os.OpenFile(name, os.O_RDWR|os.O_CREATE|os.O_EXCL, 0o666)
		if errors.Is(err, fs.ErrExist) && n < 10000 {
			continue
		}
		if err != nil {
			return nil, fmt.Errorf("layers: %w", err)
		}
		return f, nil
	}
}

// SyncFolder makes renames in a folder last through a loss of power. File
// systems that cannot do so are not an error: the rename itself has happened.
func SyncFolder(path string) error {
	d, err := os.Open(path)
	if err != nil {
		return fmt.Errorf("layers: %w", err)
	}
	defer d.Close()
	if err := d.Sync(); err != nil && !errors.Is(err, errors.ErrUnsupported) && !errors.Is(err, fs.ErrInvalid) {
		return fmt.Errorf("layers: %w", err)
	}
	return nil
}
