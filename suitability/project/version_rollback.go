package project

import (
	"fmt"
)

// RollBack prepares a step back, as a new version of its own: to the text of an
// earlier version by its number or, where that is 0, to the version before the
// present text's. What was brought back counts as the version that it is from,
// so that a second step goes one further back. The reason may be left out, and
// the weights of the change are not looked at. Nothing is written.
func (f *ProfileFile) RollBack(to int, c Change) (*Revision, error) {
	r, versions, err := f.revision()
	if err != nil {
		return nil, err
	}
	target, err := targetOf(versions, to)
	if err != nil {
		return nil, err
	}
	text, err := f.kept(target)
	if err != nil {
		return nil, err
	}
	if bytesHash(text) == bytesHash(f.raw) {
		return nil, fmt.Errorf("project: the file holds the text of version %d already", target.Number)
	}
	if yamlText(c.Reason) == "" {
		c.Reason = fmt.Sprintf("back to version %d", target.Number)
	}
	return r, r.add(versions, Version{Date: c.Date, Who: c.Who, Reason: c.Reason, Evidence: c.Evidence, Restores: target.Number}, text)
}

// targetOf is the version to go back to.
func targetOf(versions []Version, number int) (Version, error) {
	if number > 0 {
		i := versionNumbered(versions, number)
		if i < 0 {
			return Version{}, fmt.Errorf("project: there is no version %d", number)
		}
		return versions[i], nil
	}
	i := len(versions) - 1
	for i >= 0 && versions[i].Restores > 0 { // each brings back an earlier one
		from := versionNumbered(versions[:i], versions[i].Restores)
		if from < 0 {
			return Version{}, fmt.Errorf("project: version %d brings back version %d, which is not in the log", versions[i].Number, versions[i].Restores)
		}
		i = from
	}
	if i < 1 {
		return Version{}, ErrNothingEarlier
	}
	return versions[i-1], nil
}

func versionNumbered(versions []Version, number int) int {
	for i, v := range versions {
		if v.Number == number {
			return i
		}
	}
	return -1
}

// kept reads the text of a version and holds it against the log.
func (f *ProfileFile) kept(v Version) ([]byte, error) {
	if bytesHash(f.raw) == v.After { // which may not be kept yet
		return f.raw, nil
	}
	text, err := readRaw(v.File)
	switch {
	case err != nil:
		return nil, err
	case bytesHash(text) != v.After:
		return nil, fmt.Errorf("project: %s is not the text that was kept as version %d", v.File, v.Number)
	}
	_, err = parseProfile(f.Path, text)
	return text, err
}
