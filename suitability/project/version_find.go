package project

import "fmt"

// ProfileOf reads a project as [Load] does and gives the file of one species'
// profile. A profile that stands in the project file itself has no versions: to
// roll it back would roll back all else that the file holds.
func ProfileOf(project, species string) (*ProfileFile, error) {
	r, err := checked(project)
	if err != nil {
		return nil, err
	}
	p, err := r.profileNamed(species)
	if err != nil {
		return nil, err
	}
	return r.fileOf(p)
}

// checked reads a project that is free of mistakes.
func checked(path string) (*reading, error) {
	r, err := read(path)
	if err == nil {
		err = r.err()
	}
	return r, err
}

func (r *reading) profileNamed(id string) (*profile, error) {
	var known []string
	for _, p := range r.profiles {
		if p.ID == id {
			return p, nil
		}
		known = append(known, p.ID)
	}
	return nil, Problems{{File: r.path, Path: "species", Message: fmt.Sprintf("the project has no species %q", short(id)), Hint: closest(id, known)}}
}

func (r *reading) fileOf(p *profile) (*ProfileFile, error) {
	if p.doc == r.doc {
		return nil, Problems{p.doc.makeProblem(p.doc.placeOf(join(p.path, "id")), p.path,
			fmt.Sprintf("move it into a file of its own, as `- file: species/%s.yaml`; only such files have versions", p.ID),
			fmt.Sprintf("the profile of %s stands in the project file itself", p.ID))}
	}
	return ReadProfile(p.doc.file)
}
