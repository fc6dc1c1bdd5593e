package project

import (
	"tussock/layers/records"
)

// cleaning reads the project's records and puts them through the tests, once.
func (o *opening) cleaning() (*records.Cleaning, error) {
	if o.cleaned != nil {
		return o.cleaned, nil
	}
	var sets []records.Set
	for _, s := range o.file.Records {
		if s.doc == nil || s.doc.spoken(s.path) {
			continue
		}
		set, err := records.Read(o.ctx, o.records(s), o.grid.CRS)
		if err != nil {
			wrong(s.doc, join(s.path, "source"), err)
			continue
		}
		sets = append(sets, set)
	}
	cleaned, err := records.Clean(sets, records.Checks{})
	o.cleaned = cleaned
	return cleaned, err
}
