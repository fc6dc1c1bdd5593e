package tiles

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"

	"tussock/layers"
)

// writeFolder stores tiles as {z}/{x}/{y}.png. They are written into a folder
// beside the final one, which takes its name when it is complete.
func writeFolder(ctx context.Context, path string, tiles *spool) error {
	temp, err := tempFolder(path)
	if err != nil {
		return err
	}
	defer os.RemoveAll(temp)
	made := ""
	err = tiles.each(ctx, func(e entry) error {
		folder := filepath.Join(temp, strconv.Itoa(e.tile.Z), strconv.Itoa(e.tile.X))
		if folder != made {
			if err := os.MkdirAll(folder, 0o777); err != nil {
				return err
			}
			made = folder
		}
		return os.WriteFile(filepath.Join(folder, strconv.Itoa(e.tile.Y)+".png"), e.data, 0o666)
	})
	if err != nil {
		return fmt.Errorf("tiles: %w", err)
	}
	if err := syncTree(temp); err != nil {
		return fmt.Errorf("tiles: %s: %w", temp, err)
	}
	if err := swapFolder(temp, path); err != nil {
		return fmt.Errorf("tiles: %w", err)
	}
	return layers.SyncFolder(filepath.Dir(path))
}

// tempFolder makes a new folder beside path, with the permissions of the umask.
func tempFolder(path string) (string, error) {
	for n := 0; ; n++ {
		name := filepath.Join(filepath.Dir(path), fmt.Sprintf(".%s.%d-%d.tmp", filepath.Base(path), os.Getpid(), n))
		err := os.Mkdir(name, 0o777)
		if errors.Is(err, fs.ErrExist) && n < 10000 {
			continue
		}
		if err != nil {
			return "", fmt.Errorf("tiles: %w", err)
		}
		return name, nil
	}
}

// swapFolder gives a complete folder its final name. What stood there before is
// left under the old name of the complete one, to be removed.
func swapFolder(complete, path string) error {
	err := os.Rename(complete, path)
	if err == nil || !errors.Is(err, fs.ErrExist) {
		return err
	}
	if err := exchange(complete, path); err == nil || !errors.Is(err, errors.ErrUnsupported) {
		return err
	}
	aside := complete + ".old"
	if err := os.Rename(path, aside); err != nil {
		return err
	}
	if err := os.Rename(complete, path); err != nil {
		return errors.Join(err, os.Rename(aside, path))
	}
	return os.RemoveAll(aside)
}
