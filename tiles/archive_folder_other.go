//go:build !linux

package tiles

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
)

func exchange(a, b string) error { return errors.ErrUnsupported }

func syncTree(path string) error {
	return filepath.WalkDir(path, func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		f, err := os.OpenFile(name, os.O_RDWR, 0)
		if err != nil {
			return err
		}
		defer f.Close()
		return f.Sync()
	})
}
