package life

import (
	"math"
	"math/rand/v2"
	"time"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"

	"tussock/cmd/averholt/geo"
	"tussock/cmd/averholt/land"
	"tussock/layers"
)

// Parcel is a piece of land that somebody asks about.
type Parcel struct {
	ID, Name string
	Owner    string // kind of owner; never who
	Reason   string // why it is asked about
	Date     string
	Shape    orb.Geometry
}

// parcelMaker cuts parcels that do not overlap.
type parcelMaker struct {
	*Life
	rng  *rand.Rand
	made []Parcel
}

const (
	farms        = 24
	smallParcels = 5
)

// parcels are the pieces of land that were asked about in the last year.
func (l *Life) parcels() []Parcel {
	p := &parcelMaker{Life: l, rng: stream(l.Seed, "parcels")}
	p.commons()
	p.works()
	p.farms()
	p.public()
	for i := range p.made {
		p.made[i].ID = numbered("P", 4, 201+i)
		p.made[i].Date = Reference.AddDate(0, 0, -1-p.rng.IntN(380)).Format(time.DateOnly)
	}
	return p.made
}

// commons are whole places, as they are drawn.
func (p *parcelMaker) commons() {
	for _, c := range [...][3]string{
		{"Great Ling Common", "common land", "grazing agreement"},
		{"Emberlow Heath", "charity", "scrub clearance"},
		{"Sedgeley Carr", "charity", "ditch works"},
		{"Skarn Tops", "common land", "path repair"},
	} {
		if place, ok := p.ground.d.PlaceNamed(c[0]); ok && len(place.Outline) > 0 {
			p.add(Parcel{Name: c[0], Owner: c[1], Reason: c[2], Shape: place.Outline})
		}
	}
}

// works are parcels where something is to be built or dug.
func (p *parcelMaker) works() {
	for _, w := range [...]struct {
		near, name, owner, reason string
		away, hectares            float64
		ground                    []land.Cover
	}{
		{"Dunstall Pits", "Dunstall Pits, south extension", "company", "quarry extension", 700, 14, []land.Cover{land.Arable, land.ImprovedGrass, land.RoughGrass, land.DryHeath}},
		{"Brackenford", "Brackenford, land north of the bypass", "company", "housing allocation", 1600, 18, []land.Cover{land.Arable, land.ImprovedGrass, land.RoughGrass}},
		{"Brackenford", "Brackenford, old goods yard", "council", "housing allocation", 1100, 5, []land.Cover{land.RoughGrass, land.ImprovedGrass, land.Scrub, land.Arable, land.Built}},
		{"Sallowby", "Sallowby, canal side", "company", "housing allocation", 800, 7, []land.Cover{land.Arable, land.ImprovedGrass, land.RoughGrass}},
		{"Pinnick", "Pinnick, glebe field", "church", "housing allocation", 500, 2.5, []land.Cover{land.Arable, land.ImprovedGrass, land.RoughGrass, land.DryHeath}},
		{"Kelder Plantation", "Kelder Plantation, compartment 14", "state forest", "felling", 900, 32, []land.Cover{land.ConiferClosed, land.ConiferOpen}},
		{"Kelder Plantation", "Kelder Plantation, compartment 22", "state forest", "felling", 1500, 26, []land.Cover{land.ConiferClosed, land.ConiferOpen}},
		{"Mirkwater Fen", "Mirkwater Fen, north dykes", "private", "dyke clearing", 800, 21, []land.Cover{land.FenReedbed, land.RoughGrass}},
		{"Sallowby", "Sallowby, solar field", "company", "solar farm", 1900, 30, []land.Cover{land.Arable, land.ImprovedGrass}},
	} {
		p.place(Parcel{Name: w.name, Owner: w.owner, Reason: w.reason}, p.middle(w.near), w.away, w.hectares, w.ground)
	}
}

func (p *parcelMaker) middle(name string) orb.Point { return p.ground.middle(name) }

var farmNames = [...]string{
	"Alder", "Barrow", "Cold Withen", "Dyke End", "East Lodge", "Far Ling", "Gorse Hill", "High Thorle", "Island", "Kiln", "Larkfield", "Marl Pit",
	"Nether Sallow", "Old Ford", "Pinfold", "Quarry", "Reedham", "South Skarn", "Toll Bar", "Upper Withen", "Vale", "West Moor", "Yew Tree", "Hollin",
}

// farms are holdings between the towns.
func (p *parcelMaker) farms() {
	b := p.ground.d.Grid.Bound(p.ground.d.Grid.Window())
	for k := range farms {
		parcel := Parcel{Name: farmNames[k%len(farmNames)] + " Farm", Owner: oneOf(p.rng, "private", "private", "private", "council", "charity"), Reason: oneOf(p.rng, "stewardship agreement", "stewardship agreement", "pond restoration", "new barn", "hedge planting", "grazing agreement")}
		for range 60 {
			at := orb.Point{between(p.rng, b.Min[0]+900, b.Max[0]-900), between(p.rng, b.Min[1]+900, b.Max[1]-900)}
			if p.place(parcel, at, 0, between(p.rng, 12, 95), []land.Cover{land.Arable, land.ImprovedGrass, land.RoughGrass}) {
				break
			}
		}
	}
}

// public are small pieces of public land in and about the towns.
func (p *parcelMaker) public() {
	for _, s := range [smallParcels][4]string{
		{"Brackenford", "Brackenford, school grounds", "council", "tree works"}, {"Brackenford", "Brackenford, allotments", "council", "path repair"},
		{"Sallowby", "Sallowby, cemetery", "church", "wall repair"}, {"Pinnick", "Pinnick, village green", "council", "pond restoration"}, {"Thorle", "Thorle, churchyard", "church", "wall repair"},
	} {
		p.place(Parcel{Name: s[1], Owner: s[2], Reason: s[3]}, p.middle(s[0]), 250, between(p.rng, 0.5, 2.2), []land.Cover{land.Gardens, land.Built, land.RoughGrass, land.ImprovedGrass, land.Arable})
	}
}

// place puts a parcel of some hectares about so many metres from a point, on
// ground of its kind.
func (p *parcelMaker) place(parcel Parcel, from orb.Point, away, hectares float64, ground []land.Cover) bool {
	var fits [256]bool
	for _, c := range ground {
		fits[c] = true
	}
	for range 300 {
		angle, d := between(p.rng, 0, 2*math.Pi), away*between(p.rng, 0.7, 1.4)
		at := orb.Point{from[0] + d*math.Cos(angle), from[1] + d*math.Sin(angle)}
		if i, ok := p.cellOf(at); !ok || !fits[p.ground.d.Cover[i]] {
			continue
		}
		shape := fieldShape(p.rng, at, hectares)
		if parcel.Shape = shape; !p.cutUp(shape) && p.add(parcel) {
			return true
		}
	}
	return false
}

// cutUp tells whether the river or a busy road runs through a piece of land.
func (p *parcelMaker) cutUp(shape orb.Polygon) bool {
	w := p.ground.d.Grid.Covering(shape.Bound())
	for row := max(w.Row, 0); row < min(w.Row+w.Rows, land.Rows); row++ {
		for col := max(w.Col, 0); col < min(w.Col+w.Cols, land.Cols); col++ {
			i := p.ground.d.Index(col, row)
			if (p.ground.d.Cover[i] == land.OpenWater || p.ground.busy(i) < land.Cell) && planar.PolygonContains(shape, p.ground.at(i)) {
				return true
			}
		}
	}
	return false
}

// fieldShape is a piece of land with straight sides: a crooked rectangle with a
// corner cut out or a bend in a side.
func fieldShape(rng *rand.Rand, at orb.Point, hectares float64) orb.Polygon {
	long := between(rng, 1, 1.7)
	w, h := math.Sqrt(hectares*1e4*long), math.Sqrt(hectares*1e4/long)
	outline := [][2]float64{{-0.5, -0.5}, {0.1, -0.47}, {0.5, -0.5}, {0.5, 0.12}, {0.22, 0.16}, {0.2, 0.5}, {-0.5, 0.5}}
	if rng.Float64() < 0.5 {
		outline = [][2]float64{{-0.5, -0.45}, {0.0, -0.52}, {0.5, -0.46}, {0.52, 0.5}, {-0.1, 0.46}, {-0.48, 0.52}}
	}
	turn, ring := between(rng, 0, math.Pi), orb.Ring{}
	for _, c := range outline {
		x, y := (c[0]+between(rng, -0.06, 0.06))*w, (c[1]+between(rng, -0.06, 0.06))*h
		ring = append(ring, wholeMetres(orb.Point{at[0] + x*math.Cos(turn) - y*math.Sin(turn), at[1] + x*math.Sin(turn) + y*math.Cos(turn)}))
	}
	return orb.Polygon{append(ring, ring[0])}
}

// add keeps a parcel that is valid, lies in the district and overlaps no other.
func (p *parcelMaker) add(parcel Parcel) bool {
	g := p.ground.d.Grid
	district, b := g.Bound(g.Window()), parcel.Shape.Bound()
	if _, _, ok := layers.ValidateGeometry(parcel.Shape); !ok || !district.Contains(b.Min) || !district.Contains(b.Max) {
		return false
	}
	for _, other := range p.made {
		if other.Shape.Bound().Intersects(b) && overlap(other.Shape.(orb.Polygon), parcel.Shape.(orb.Polygon)) {
			return false
		}
	}
	p.made = append(p.made, parcel)
	return true
}

// overlap tells whether two polygons come nearer than their corners and the
// points every 30 m of their sides tell.
func overlap(a, b orb.Polygon) bool {
	for _, pair := range [2][2]orb.Polygon{{a, b}, {b, a}} {
		ring := orb.LineString(pair[0][0])
		for along, whole := 0.0, planar.Length(ring); along < whole; along += 30 {
			if at, _ := planarAt(ring, along); planar.PolygonContains(pair[1], at) {
				return true
			}
		}
	}
	return false
}

func writeParcels(path string, l *Life) error {
	var features []geo.Feature
	for _, p := range l.Parcels {
		features = append(features, geo.Feature{Geometry: p.Shape, Properties: []geo.Property{
			{Name: "id", Value: p.ID}, {Name: "name", Value: p.Name}, {Name: "owner", Value: p.Owner}, {Name: "reason", Value: p.Reason}, {Name: "date", Value: p.Date},
		}})
	}
	return geo.Write(path, l.ground.d.Grid.CRS, features)
}
