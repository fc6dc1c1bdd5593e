package suitability

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/paulmach/orb"
	"tussock/layers"
)

// RangePolygon is one drawn part of a species' range.
type RangePolygon struct {
	Species  string
	Status   RangeStatus
	Word     string  // the status in the source's own word: reintroduced
	Note     string  // what else the source says, such as the year of a release
	Year     int     // 0 where unknown
	Scale    float64 // denominator of the map's scale; 0 where unknown
	Author   string
	Geometry orb.MultiPolygon // in the grid's CRS
}

// RangeMap is the documented range of one species on one grid. A nil RangeMap,
// or one without polygons, is a range that nobody has documented.
type RangeMap struct {
	grid   layers.Grid
	edge   float64
	parts  map[Standing][]rangePart
	shores *shoreIndex // boundaries that the edge is measured from; nil without any
	drawn  []RangePolygon
	hash   string
}

// rangePart is one polygon with its holes, as edges.
type rangePart struct {
	bound orb.Bound
	edges []edge
}

// edge runs from its lower to its higher end, so that two polygons that share
// it see the same numbers.
type edge struct{ x1, y1, x2, y2 float64 }

// rangePrecedence is the order in which overlapping polygons are burned: the
// last one wins.
var rangePrecedence = []Standing{Vagrant, Historic, Introduced, Uncertain, Documented}

// NewRangeMap prepares the polygons of one species, which must be valid: rings
// that do not cross, holes within their polygon. Edge is how far outside
// documented and uncertain range still counts as its edge, in metres.
func NewRangeMap(polygons []RangePolygon, grid layers.Grid, edge float64) (*RangeMap, error) {
	if !(edge >= 0) || math.IsInf(edge, 1) {
		return nil, fmt.Errorf("suitability: range edge %g m is no distance", edge)
	}
	m := &RangeMap{grid: grid, edge: edge, parts: map[Standing][]rangePart{}, drawn: polygons}
	var shores []rangePart
	for i, p := range polygons {
		standing := p.Status.Standing()
		if standing == 0 {
			return nil, fmt.Errorf("suitability: range polygon %d of %s has no status", i, p.Species)
		}
		parts, err := rangeParts(p.Geometry)
		if err != nil {
			return nil, fmt.Errorf("suitability: range polygon %d of %s: %w", i, p.Species, err)
		}
		m.parts[standing] = append(m.parts[standing], parts...)
		if standing == Documented || standing == Uncertain {
			shores = append(shores, parts...)
		}
	}
	if edge > 0 && len(shores) > 0 {
		m.shores = newShoreIndex(shores)
	}
	m.hash = hashRange(polygons, edge)
	return m, nil
}

func rangeParts(geometry orb.MultiPolygon) ([]rangePart, error) {
	var parts []rangePart
	for i, polygon := range geometry {
		part := rangePart{bound: polygon.Bound()}
		for j, ring := range polygon {
			if len(ring) < 3 {
				return nil, fmt.Errorf("part %d, ring %d has %d points", i, j, len(ring))
			}
			for k, p := range ring {
				if !finite(p) {
					return nil, fmt.Errorf("part %d, ring %d, point %d lies nowhere: %v", i, j, k, p)
				}
				// A ring left open is closed by its own last edge.
				if from := ring[(k+len(ring)-1)%len(ring)]; from != p {
					part.edges = append(part.edges, newEdge(from, p))
				}
			}
		}
		if len(part.edges) > 0 {
			parts = append(parts, part)
		}
	}
	if len(parts) == 0 {
		return nil, errors.New("the geometry is empty")
	}
	return parts, nil
}

func finite(p orb.Point) bool {
	return math.Abs(p[0]) <= maxFloat32 && math.Abs(p[1]) <= maxFloat32 // false for NaN
}

const maxFloat32 = math.MaxFloat32

func newEdge(a, b orb.Point) edge {
	if b[1] < a[1] || b[1] == a[1] && b[0] < a[0] {
		a, b = b, a
	}
	return edge{a[0], a[1], b[0], b[1]}
}

// Block is the standing of every cell of a window, as codes. It is safe for
// concurrent use and gives the same bytes for a cell whichever window it is
// asked for.
func (m *RangeMap) Block(w layers.Window) layers.Block {
	standing, _ := m.block(w, false)
	return standing
}

// BlockAndDistance is Block, and for cells of standing Edge how far, in metres,
// the cell's centre is from the nearest documented or uncertain polygon: row by
// row, NaN for other cells, nil where the window has no such cell.
func (m *RangeMap) BlockAndDistance(w layers.Window) (layers.Block, []float64) {
	return m.block(w, true)
}

func (m *RangeMap) block(w layers.Window, exact bool) (layers.Block, []float64) {
	b := rangeBlock{window: w, standing: make([]uint8, w.Cells()), exact: exact}
	start := Outside
	if !m.documented() {
		start = RangeNotDocumented
	}
	for i := range b.standing {
		b.standing[i] = uint8(start)
	}
	if start == Outside {
		for _, standing := range rangePrecedence {
			for i := range m.parts[standing] {
				m.burn(&m.parts[standing][i], uint8(standing), &b)
			}
		}
		if m.shores != nil {
			m.measureEdge(&b)
		}
	}
	return layers.Block{Window: w, Codes: b.standing}, b.distance
}

// rangeBlock is a window in the making.
type rangeBlock struct {
	window   layers.Window
	standing []uint8
	distance []float64
	exact    bool // distances are asked for, not only standings
}

func (m *RangeMap) documented() bool { return m != nil && len(m.parts) > 0 }

// Polygons are the polygons that the range was made from, in their order.
func (m *RangeMap) Polygons() []RangePolygon {
	if m == nil {
		return nil
	}
	return m.drawn
}

// At is the standing of the cell that holds a place, on the grid or beyond it.
func (m *RangeMap) At(p orb.Point) Standing {
	if !m.documented() {
		return RangeNotDocumented
	}
	col, row := m.grid.CellAt(p)
	return Standing(m.Block(layers.Window{Col: col, Row: row, Cols: 1, Rows: 1}).Code(col, row))
}

// Hash is the SHA-256, in hexadecimal, of what the range says: its polygons,
// statuses and edge.
func (m *RangeMap) Hash() string {
	if m == nil {
		return hashRange(nil, 0)
	}
	return m.hash
}

// hashRange writes polygons in an order of their own, since a file's order
// means nothing.
func hashRange(polygons []RangePolygon, edge float64) string {
	texts := make([]string, 0, len(polygons))
	for _, p := range polygons {
		var b strings.Builder
		b.WriteString(p.Status.String())
		for _, polygon := range p.Geometry {
			b.WriteString(" polygon")
			for _, ring := range polygon {
				b.WriteString(" ring")
				for _, at := range ring {
					b.WriteString(" " + exact(at[0]) + " " + exact(at[1]))
				}
			}
		}
		texts = append(texts, b.String())
	}
	slices.Sort(texts)
	sum := sha256.Sum256([]byte("tussock range 1\nedge " + exact(edge) + "\n" + strings.Join(texts, "\n")))
	return hex.EncodeToString(sum[:])
}

func plainWords(text string) string {
	text = strings.NewReplacer("-", " ", "_", " ").Replace(strings.ToLower(text))
	return strings.Join(strings.Fields(text), " ")
}
