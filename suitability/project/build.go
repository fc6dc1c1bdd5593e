package project

import (
	"path/filepath"
	"slices"

	"tussock/layers/records"
	"tussock/suitability"
)

// project turns checked sections into what other packages take.
func (r *reading) project() *Project {
	f := &r.file
	p := &Project{File: r.path, Folder: r.folder, Name: f.Area.Name, Date: f.Area.Date.Time, Output: r.output()}
	for _, s := range f.Records {
		p.Records = append(p.Records, r.records(s))
	}
	for _, s := range f.Ranges {
		p.Ranges = append(p.Ranges, r.ranges(s))
	}
	p.Gazetteer, p.Wording = r.dataSource(f.Places), f.Wording.model()
	p.Visits, p.Parcels = r.dataSources(f.Visits), r.dataSources(f.Parcels)
	p.Sites, p.Volunteers = r.dataSources(f.Sites), r.dataSources(f.Volunteers)
	p.Picture = r.picture()
	p.cleaning = f.Cleaning
	p.Licences = f.licences()
	p.Warnings = r.sortedWarnings()
	return p
}

func (r *reading) sortedWarnings() []Problem {
	sorted := slices.Clone(r.warnings)
	sorted.sort()
	return sorted
}

func (r *reading) source(source string) string {
	path, _ := inFolder(r.folder, source)
	return path
}

func (r *reading) records(s recordSource) records.Source {
	source := records.Source{
		File: r.source(s.Source), Layer: s.Layer, Where: s.Where, Fields: plain(s.Fields), Values: plain(s.Values),
		CRS: s.CRS, Encoding: s.Encoding, Delimiter: s.Delimiter, Quote: s.Quote, DecimalComma: s.DecimalComma,
		Today: r.file.Area.Date.Time,
	}
	if s.Square != nil {
		source.Square = *s.Square
	}
	return source
}

func (r *reading) ranges(s ranges) suitability.RangeSource {
	return suitability.RangeSource{
		Source: r.source(s.Source), Layer: s.Layer, Where: s.Where,
		Fields: plain(s.Fields), Values: plain(s.Values), CRS: s.CRS, Repair: s.Repair,
	}
}

func (r *reading) dataSource(s data) Source {
	if s.Source == "" {
		return Source{}
	}
	return Source{File: r.source(s.Source), Layer: s.Layer, Where: s.Where, Fields: plain(s.Fields), Licence: s.Licence}
}

func (r *reading) dataSources(list []data) []Source {
	var sources []Source
	for _, s := range list {
		sources = append(sources, r.dataSource(s))
	}
	return sources
}

func plain(words map[string]word) map[string]string {
	if words == nil {
		return nil
	}
	texts := make(map[string]string, len(words))
	for k, v := range words {
		texts[k] = string(v)
	}
	return texts
}

func (r *reading) output() Output {
	o := &r.file.Output
	out := Output{
		Folder: filepath.Join(r.folder, "out"), Classes: o.breaks(), Counted: o.counted(),
		TileFormats: o.Tiles.Format, MinZoom: o.Tiles.MinZoom, MaxZoom: o.Tiles.MaxZoom, TileAddress: o.Tiles.Address,
	}
	if o.Folder != "" {
		out.Folder = r.source(o.Folder)
	}
	if o.Values == "floats" {
		out.Values = suitability.Floats
	}
	if o.Tiles.Size != nil {
		out.TileSize = *o.Tiles.Size
	}
	return out
}

// licences are those of all sources that shape a map.
func (f *file) licences() []string {
	var list []string
	add := func(licence string) {
		if licence != "" && !slices.Contains(list, licence) {
			list = append(list, licence)
		}
	}
	for _, l := range f.Layers {
		add(l.Value.Licence)
	}
	for _, s := range f.Records {
		add(s.Licence)
	}
	for _, s := range f.Ranges {
		add(s.Licence)
	}
	add(f.Places.Licence)
	return list
}
