package project

// checkFacts tests what no single value tells: that low lies below high, and
// that what is given as a fact has a source.
func (p *profile) checkFacts() {
	f := &p.facts
	if f.Hazard.doc != nil && f.Hazard.Level != "" && f.Hazard.Level != "none" {
		f.Hazard.doc.need(f.Hazard.path, "text", "say what to do and what to leave", "a hazard of level %s needs `text`", f.Hazard.Level)
	}
	f.checkMovement()
	f.checkSeason()
	for i := range f.Survey {
		if d := f.Survey[i].P; d != nil {
			d.rising([]string{"low", "mode", "high"}, d.Low, d.Mode, d.High)
		}
	}
	for i := range f.LookAlikes {
		if l := &f.LookAlikes[i]; l.doc != nil && l.With == p.ID && p.ID != "" {
			l.doc.problem(join(l.path, "with"), "name what it is mistaken for", "a species is no look-alike of itself")
		}
	}
	p.warnFacts()
}

func (f *facts) checkMovement() {
	m := &f.Movement
	if h := m.HomeRange; h != nil {
		h.rising([]string{"low", "typical", "high"}, h.Low, h.Typical, h.High)
	}
	m.rising([]string{"typical", "far", "max"}, m.Typical, m.Far, m.Max)
}

// rising reports the first of several values that is less than one before it.
func (a at) rising(keys []string, values ...*float64) {
	if a.doc == nil {
		return
	}
	last := -1
	for i, v := range values {
		switch {
		case v == nil:
		case last >= 0 && *v < *values[last]:
			a.doc.problem(join(a.path, keys[i]), "", "`%s` is %s, which is less than `%s`, %s", keys[i], decimal(*v), keys[last], decimal(*values[last]))
			return
		default:
			last = i
		}
	}
}

func (f *facts) checkSeason() {
	s := &f.Season
	if s.doc == nil {
		return
	}
	if s.Active != nil && *s.Active == [12]float64{} {
		s.doc.problem(join(s.path, "active"), "write 1 for the height of the season", "no month has any activity")
	}
	seen := map[int]bool{}
	for _, month := range s.Best {
		if month > 0 && seen[month] {
			s.doc.problem(join(s.path, "best"), "", "month %d is named twice", month)
			return
		}
		seen[month] = true
	}
}

// warnFacts notes facts without a source. Seasons and marks by which species
// are told apart are in every field guide, so they need none of their own.
func (p *profile) warnFacts() {
	if p.Source != "" {
		return
	}
	warn := func(a at, source string) {
		if a.doc != nil && source == "" {
			a.doc.warn(a.path, "write `source: …`, or `source: assumption`; a source of the whole profile counts for all its values", "this value has no source")
		}
	}
	warn(p.Hazard.at, p.Hazard.Source)
	warn(p.Movement.at, p.Movement.Source)
	warn(p.Patch.at, p.Patch.Source)
	for i := range p.Survey {
		warn(p.Survey[i].at, p.Survey[i].Source)
	}
}
