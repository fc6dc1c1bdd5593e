package main

import (
	"fmt"
	"io"
	"os"

	"tussock/layers"
	"tussock/layers/records"
)

const asideUsage = "CSV `file` to write with the rows of records that were kept aside, and why (--audience staff)"

// mayAside refuses early what writeAside would refuse late.
func (a *app) mayAside(path string) error {
	if path == "" {
		return nil
	}
	audience, err := a.theAudience(layers.Public)
	if err != nil {
		return err
	}
	if audience != layers.Staff {
		return usage(records.ErrStaffOnly, "give --audience staff")
	}
	return notThere(path)
}

// writeAside writes rows that were kept aside as they were, with reasons. An
// empty path writes nothing.
func (a *app) writeAside(path string, aside []records.Reject) error {
	if path == "" {
		return nil
	}
	return layers.Publish(path, func(w io.Writer) error { return records.WriteRejects(w, layers.Staff, aside) })
}

// notThere refuses to write over a file.
func notThere(path string) error {
	if path == "" {
		return nil
	}
	if _, err := os.Lstat(path); err == nil {
		return existing(fmt.Errorf("%s exists", path), "name another file, or remove it")
	}
	return nil
}
