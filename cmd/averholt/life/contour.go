package life

import "github.com/paulmach/orb"

// contour are the closed lines along which a raster passes a level, with the
// higher ground on the left as a map shows it: marching squares through the
// cells' centres, in columns and rows counted from the centre of the first cell,
// rows downwards. The raster's rim must lie below the level. Two opposite high corners are joined
// where the mean of the four is high.
func (r raster) contour(level float64) []orb.Ring {
	steps := map[side]step{}
	for row := range r.rows - 1 {
		for col := range r.cols - 1 {
			r.square(steps, col, row, level)
		}
	}
	var rings []orb.Ring
	for row := range r.rows {
		for col := range r.cols {
			for _, down := range [2]bool{false, true} {
				if ring := follow(steps, side{col, row, down}); len(ring) > 3 {
					rings = append(rings, ring)
				}
			}
		}
	}
	return rings
}

// side is the link between a cell's centre and the next one's to the east, or
// downwards.
type side struct {
	col, row int
	down     bool
}

// step is where a contour crosses a side and the side that it crosses next.
type step struct {
	at   orb.Point
	next side
}

// square puts the contours between four centres into the map.
func (r raster) square(steps map[side]step, col, row int, level float64) {
	value := func(c, w int) float64 { return float64(r.at[w*r.cols+c]) }
	corners := [4]float64{value(col, row), value(col+1, row), value(col+1, row+1), value(col, row+1)}
	sides := [4]side{{col, row, false}, {col + 1, row, true}, {col, row + 1, false}, {col, row, true}}
	join := func(from, to int) {
		steps[sides[from]] = step{r.crossing(sides[from], level), sides[to]}
	}
	pattern, sum := 0, 0.0
	for i, v := range corners {
		if sum += v; v >= level {
			pattern |= 1 << i
		}
	}
	if pattern == 5 || pattern == 10 {
		saddle(join, pattern, sum/4 >= level)
		return
	}
	if pair := passages[pattern]; pair[0] >= 0 {
		join(pair[0], pair[1])
	}
}

// passages are, for each pattern of high corners (bit 0 the north-west one, then
// clockwise), the sides by which a contour comes and goes. Sides run clockwise
// from the upper one.
var passages = [16][2]int{
	{-1, -1}, {3, 0}, {0, 1}, {3, 1}, {1, 2}, {-1, -1}, {0, 2}, {3, 2},
	{2, 3}, {2, 0}, {-1, -1}, {2, 1}, {1, 3}, {1, 0}, {0, 3}, {-1, -1},
}

func saddle(join func(from, to int), pattern int, high bool) {
	switch {
	case pattern == 5 && high:
		join(1, 0)
		join(3, 2)
	case pattern == 5:
		join(3, 0)
		join(1, 2)
	case high:
		join(0, 3)
		join(2, 1)
	default:
		join(0, 1)
		join(2, 3)
	}
}

// crossing is where a raster passes the level along a side.
func (r raster) crossing(s side, level float64) orb.Point {
	at, col, row := s.row*r.cols+s.col, float64(s.col), float64(s.row)
	next := at + 1
	if s.down {
		next = at + r.cols
	}
	a, b := float64(r.at[at]), float64(r.at[next])
	f := (level - a) / (b - a)
	if s.down {
		return orb.Point{col, row + f}
	}
	return orb.Point{col + f, row}
}

// follow takes a closed line out of the map.
func follow(steps map[side]step, start side) orb.Ring {
	var ring orb.Ring
	for at := start; ; {
		s, ok := steps[at]
		if !ok {
			break
		}
		delete(steps, at)
		ring = append(ring, s.at)
		at = s.next
	}
	if len(ring) > 0 {
		ring = append(ring, ring[0])
	}
	return ring
}
