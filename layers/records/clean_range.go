package records

// ranges flags an animal met outside its documented range and the range's edge,
// whatever its uncertainty would allow, and one met lately where it was only
// once. That an animal was not met there is no surprise.
func (c *cleaner) ranges() look {
	return func(k int, r *Cleaned) (Outcome, error) {
		known := c.known[k]
		if known == nil || known.Range == nil || r.Status == Absent {
			return passed(""), nil
		}
		word, err := known.Range(r.Point, r.uncertaintyOr(0))
		if err != nil {
			return Outcome{}, err
		}
		switch {
		case word == RangeOutside:
			return flagged(Held, "it lies outside the documented range and its edge"), nil
		case word == RangeOnce && !older(r.Date, c.Current, c.Reference):
			return flagged(Held, "the species was once here, but not lately: a rediscovery, or a mistake"), nil
		}
		return passed(""), nil
	}
}
