package suitability

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"

	"tussock/layers"
)

// engineVersion is part of every key: it changes when the same inputs would
// give other bytes.
const engineVersion = "1"

const (
	// tileSide is the side of a stored tile, in cells.
	tileSide = layers.TileSide
	// blockStep is what the side of a block must be a multiple of, so that each
	// block holds whole tiles of the full resolution and of half of it.
	blockStep = 2 * tileSide
	// DefaultBlock keeps a worker's memory near 100 MB with ten measures.
	DefaultBlock = 1024
)

// Subject is a species to map: its profile and where it is documented.
type Subject struct {
	Profile *Profile
	Range   *RangeMap
}

// Job is everything that a map depends on. Two equal jobs give the same bytes.
type Job struct {
	Project  string // its name, for titles and provenance
	Grid     layers.Grid
	Layers   *layers.Set
	Inputs   map[string]string // layer name → hash of its content and settings
	Subjects []Subject
	Audience layers.Audience
	Values   Values
	Classes  Classes
	Look     Look
	Counted  int    // species are counted in a cell from this class up
	Date     string // the project's reference date, ISO 8601
	Licences []string
	Folder   string // published files go below it
}

// ErrNothing is returned when an audience may see none of the species.
var ErrNothing = errors.New("suitability: nothing to map for this audience")

// Task is one species in a plan.
type Task struct {
	Species  string `json:"species"`
	Key      string `json:"key"`      // hash of all that its surface depends on
	MapCell  int    `json:"map_cell"` // its map is averaged over squares of so many cells
	Done     bool   `json:"done"`     // its surface is already published
	Withheld bool   `json:"withheld"` // this audience may not see it
}

// Plan is a job cut into blocks and shards.
type Plan struct {
	Engine   string `json:"engine"`
	Audience string `json:"audience"`
	Block    int    `json:"block"` // side of a block, cells
	Cols     int    `json:"block_columns"`
	Rows     int    `json:"block_rows"`
	Shards   int    `json:"shards"`
	Tasks    []Task `json:"tasks"`
	CountKey string `json:"count_key"` // hash of the number-of-species surface

	job *Job
}

// Plan cuts a job into square blocks of a side of block cells and into shards.
// The surfaces do not depend on either number.
func (j *Job) Plan(block, shards int) (*Plan, error) {
	if err := j.check(); err != nil {
		return nil, err
	}
	j = j.forAudience()
	if block == 0 {
		block = DefaultBlock
	}
	if block < blockStep || block%blockStep != 0 {
		return nil, fmt.Errorf("suitability: a block of %d cells is not a multiple of %d", block, blockStep)
	}
	if shards < 1 {
		return nil, fmt.Errorf("suitability: %d shards: there must be at least one", shards)
	}
	p := &Plan{
		Engine: engineVersion, Audience: j.Audience.String(), Block: block, Shards: shards, job: j,
		Cols: (j.Grid.Cols + block - 1) / block, Rows: (j.Grid.Rows + block - 1) / block,
	}
	shown := 0
	for _, s := range j.Subjects {
		t := j.task(s)
		t.Done = !t.Withheld && published(j.itemPath(t.Species, t.Key))
		if !t.Withheld {
			shown++
		}
		p.Tasks = append(p.Tasks, t)
	}
	if shown == 0 {
		return nil, fmt.Errorf("%w: %s", ErrNothing, j.Audience)
	}
	p.CountKey = p.countKey()
	return p, nil
}

// check refuses a job that nothing can come of.
func (j *Job) check() error {
	if err := j.Audience.Check(); err != nil {
		return err
	}
	if j.Grid.Window().Empty() {
		return fmt.Errorf("suitability: a grid of %d by %d cells has none", j.Grid.Cols, j.Grid.Rows)
	}
	if err := j.Classes.Check(); err != nil {
		return err
	}
	for _, s := range j.Subjects {
		if _, shown := j.mapCell(s.Profile); !shown {
			continue
		}
		if err := s.Profile.checkLeft(j.Audience); err != nil {
			return err
		}
	}
	if j.Counted < 0 || j.Counted > len(j.Classes) {
		return fmt.Errorf("suitability: species cannot be counted from class %d up: the classes are 0 to %d", j.Counted, len(j.Classes))
	}
	return nil
}

func (j *Job) task(s Subject) Task {
	metres, shown := j.mapCell(s.Profile)
	t := Task{Species: s.Profile.ID, MapCell: 1, Withheld: !shown}
	if metres > j.Grid.Cell {
		t.MapCell = j.Grid.ReachCells(metres)
	}
	t.Key = j.key(s, t.MapCell)
	return t
}

// key hashes everything that could change a byte of a species' surface.
func (j *Job) key(s Subject, mapCell int) string {
	return hashOf(struct {
		Engine, Profile, Range, Audience, CRS, Project, Date string
		Words                                                []string
		West, North, Cell                                    float64
		Cols, Rows, MapCell                                  int
		Values                                               Values
		Classes                                              Classes
		Look                                                 Look
		Inputs                                               map[string]string
		Licences                                             []string
	}{
		engineVersion, s.Profile.Hash(), s.Range.Hash(), j.Audience.String(), crsText(j.Grid.CRS), j.Project, j.Date,
		[]string{s.Profile.Name, s.Profile.Source},
		j.Grid.West, j.Grid.North, j.Grid.Cell, j.Grid.Cols, j.Grid.Rows, mapCell, j.Values, j.Classes, j.Look, j.inputs(s.Profile), j.Licences,
	})
}

// inputs are the hashes of the layers that some profiles read.
func (j *Job) inputs(profiles ...*Profile) map[string]string {
	inputs := map[string]string{}
	for _, p := range profiles {
		for _, m := range p.Measures() {
			for _, name := range m.LayerNames() {
				inputs[name] = j.Inputs[name]
			}
		}
	}
	return inputs
}

// crsText is what tells one coordinate reference system from another: its code,
// or its text where it has none. How a library spells out a code makes no
// difference.
func crsText(c layers.CRS) string {
	if c.Code() != "" {
		return c.Code()
	}
	return c.WKT()
}

func (p *Plan) countKey() string {
	var keys []string
	for _, t := range p.Tasks {
		if !t.Withheld {
			keys = append(keys, t.Key)
		}
	}
	slices.Sort(keys)
	return hashOf(struct {
		Keys    []string
		Counted int
	}{keys, p.job.Counted})
}

// hashOf is the SHA-256 of a value's JSON, as hexadecimal.
func hashOf(v any) string {
	raw, err := json.Marshal(v)
	if err != nil {
		panic(err) // plain data always encodes
	}
	sum := sha256.Sum256(raw)
	return hex.EncodeToString(sum[:])
}

// block is one square of the plan.
type block struct {
	index, col, row int // col and row in blocks
	window          layers.Window
}

func (p *Plan) blocks() int { return p.Cols * p.Rows }

func (p *Plan) block(i int) block {
	col, row := i%p.Cols, i/p.Cols
	w := layers.Window{Col: col * p.Block, Row: row * p.Block, Cols: p.Block, Rows: p.Block}
	return block{index: i, col: col, row: row, window: w.Intersect(p.job.Grid.Window())}
}

// shardOf spreads blocks over shards in runs, so that a shard reads one part
// of the country.
func (p *Plan) shardOf(block int) int { return block * p.Shards / p.blocks() }

// The work folder holds segments until a surface is published.
func (p *Plan) workFolder(key string) string {
	return filepath.Join(p.job.Folder, ".work", fmt.Sprintf("%s-%d", key[:16], p.Block))
}

func (p *Plan) segmentPath(key string, b block) string {
	return filepath.Join(p.workFolder(key), fmt.Sprintf("r%05d-c%05d.seg", b.row, b.col))
}

// published tells whether a surface's last file is there: the STAC item is
// written after everything it lists.
func published(path string) bool {
	info, err := os.Stat(path)
	return err == nil && info.Mode().IsRegular()
}

// SurfaceFile is the name of one plane of a surface: it carries the key, so that
// a published file never changes.
func (j *Job) SurfaceFile(species, key string, p Plane) string {
	return filepath.Join(j.Folder, "surfaces", species, fmt.Sprintf("%s-%s-%s.tif", species, p, key[:12]))
}

func (j *Job) itemPath(species, key string) string {
	return filepath.Join(j.Folder, "surfaces", species, fmt.Sprintf("%s-%s.json", species, key[:12]))
}
