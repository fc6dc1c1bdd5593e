package suitability

// result puts what was counted into words and totals.
func (t *tally) result(old, now *Version) *Comparison {
	changed, unrecorded := changedParts(old.parts, now.parts, old.breaks(), now.breaks())
	c := &Comparison{
		Species: now.Species, Title: now.Title, Audience: now.Audience, Old: old.compared(), New: now.compared(),
		Same: t.changed.cells == 0, Parts: append([]Part{}, changed...), Unrecorded: append([]string{}, unrecorded...),
		Shown: t.shown.public(), Changed: t.changed.public(), Values: t.values.public(), Standings: t.standings.public(),
		Comparable: old.breaks() == now.breaks(), Classes: []ClassTotal{},
	}
	c.Because = "The two are the same version."
	if old.Version != now.Version {
		c.Because = because(changed, unrecorded, c.Same)
	}
	if t.shown.cells > 0 {
		share := float64(t.shownSame) / float64(t.shown.cells)
		c.Unchanged = &share
	}
	if t.rise.Change > 0 {
		c.GreatestUp = &t.rise
	}
	if t.fall.Change < 0 {
		c.GreatestOff = &t.fall
	}
	c.Matrix = Matrix{Old: t.old.names(old.classes), New: t.now.names(now.classes), Cells: t.cells, Hectares: t.rounded()}
	c.Moves = t.moves(c.Comparable)
	if c.Comparable {
		c.Classes = t.classes(now)
	}
	return c
}

func (v *Version) compared() Compared {
	return Compared{Version: v.Version, Date: v.Date, MapCell: max(v.parts.MapCell, 1)}
}

func (a area) public() Area { return Area{a.cells, round4(a.hectares)} }

func (t *tally) rounded() [][]float64 {
	rows := make([][]float64, len(t.hectares))
	for i, row := range t.hectares {
		for _, v := range row {
			rows[i] = append(rows[i], round4(v))
		}
	}
	return rows
}

// moves adds up the matrix by the codes of change.
func (t *tally) moves(comparable bool) Moves {
	var up, down, appeared, vanished, unknown, known area
	width := t.now.count()
	for i, code := range t.codes {
		var to *area
		switch {
		case code == changeAppeared:
			to = &appeared
		case code == changeVanished:
			to = &vanished
		case code == changeUnknown:
			to = &unknown
		case code == changeKnown:
			to = &known
		case code == ByteNodata || code == changeNone || !comparable:
			continue
		case code > changeNone:
			to = &up
		default:
			to = &down
		}
		to.cells += t.cells[i/width][i%width]
		to.hectares += t.hectares[i/width][i%width]
	}
	return Moves{up.public(), down.public(), appeared.public(), vanished.public(), unknown.public(), known.public()}
}

// classes are the accounts of the classes, which both versions share.
func (t *tally) classes(now *Version) []ClassTotal {
	var list []ClassTotal
	for k, class := range now.classes {
		total := ClassTotal{Name: class.Name}
		var kept float64
		for i, row := range t.hectares {
			for j, hectares := range row {
				switch {
				case i == k && j == k:
					kept += hectares
				case i == k:
					total.Lost += hectares
				case j == k:
					total.Gained += hectares
				}
			}
		}
		total.Old, total.New = round4(kept+total.Lost), round4(kept+total.Gained)
		total.Lost, total.Gained = round4(total.Lost), round4(total.Gained)
		list = append(list, total)
	}
	return list
}
