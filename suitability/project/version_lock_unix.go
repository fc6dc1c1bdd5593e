//go:build unix

package project

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"

	"golang.org/x/sys/unix"
)

// lockFolder keeps other runs of the program from writing versions in a file's
// folder. The lock is the system's and goes with the process; a file system
// without locks has none.
func lockFolder(path string) (unlock func(), err error) {
	folder, err := os.Open(filepath.Dir(path))
	if err != nil {
		return nil, err
	}
	if err := unix.Flock(int(folder.Fd()), unix.LOCK_EX|unix.LOCK_NB); errors.Is(err, unix.EWOULDBLOCK) {
		folder.Close()
		return nil, fmt.Errorf("project: another run is writing versions in %s", filepath.Dir(path))
	}
	return func() { folder.Close() }, nil
}
