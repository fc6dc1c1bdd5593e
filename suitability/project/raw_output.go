package project

type output struct {
	at
	Folder       string    `yaml:"folder" doc:"where maps and tiles are written; out where nothing is said"`
	Values       string    `yaml:"values" of:"bytes|floats" doc:"bytes are steps of 0.005; floats are exact"`
	Classes      []float64 `yaml:"classes" is:"(0,1)" few:"1" doc:"breaks between classes of suitability, rising"`
	CountedClass *float64  `yaml:"counted_class" is:"[0,1)" doc:"species are counted in a cell from this break up"`
	Tiles        tiles     `yaml:"tiles" doc:"map tiles"`
}

type tiles struct {
	at
	Format  many[string] `yaml:"format" of:"folder|pmtiles|mbtiles" doc:"one or several of folder, pmtiles, mbtiles"`
	Size    *int         `yaml:"size" is:"[256,512]" doc:"side of a tile in pixels, 256 or 512"`
	MinZoom *int         `yaml:"min_zoom" is:"[0,24]" doc:"the least zoom"`
	MaxZoom *int         `yaml:"max_zoom" is:"[0,24]" doc:"the greatest zoom"`
	Address string       `yaml:"address" doc:"URL with {z}, {x} and {y} under which tiles will be handed out; {name} stands for the tile set; with it, a TileJSON is written"`
}
