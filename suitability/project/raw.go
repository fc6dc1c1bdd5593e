package project

// file is a whole tussock.yaml. The sections below it are in raw_*.go; their
// tags are explained at rule.
type file struct {
	at
	Area       area               `yaml:"area" need:"yes" doc:"the area: its name, reference date and grid"`
	Layers     ordered[layer]     `yaml:"layers" need:"yes" doc:"what is known of the ground, each source under a name of its own"`
	Records    many[recordSource] `yaml:"records" doc:"occurrence records: Darwin Core tables or archives, or vector sources"`
	Visits     many[data]         `yaml:"visits" doc:"visits with their effort, finds and blanks"`
	Ranges     many[ranges]       `yaml:"ranges" doc:"documented range polygons"`
	Species    []profileEntry     `yaml:"species" need:"yes" few:"1" doc:"species profiles, in place or each in a file of its own"`
	Parcels    many[data]         `yaml:"parcels" doc:"parcels to be screened"`
	Sites      many[data]         `yaml:"sites" doc:"sites that can be surveyed"`
	Volunteers many[data]         `yaml:"volunteers" doc:"volunteers and their home cells"`
	Audiences  many[data]         `yaml:"audiences" doc:"who may see what"`
	Places     data               `yaml:"places" doc:"a gazetteer: points with name, kind, people and rank"`
	Wording    wordingEntry       `yaml:"wording" doc:"the charity's own cautions, contacts and first-aid text, in place or in a file of its own"`
	Output     output             `yaml:"output" doc:"what is written, and where"`
	Cleaning   cleaning           `yaml:"cleaning" doc:"what the tests of records need to be told"`
	Picture    picture            `yaml:"picture" doc:"how finished pictures of the maps are drawn"`
}

// data is a source that only later steps look into.
type data struct {
	at
	Source  string          `yaml:"source" need:"yes" doc:"a file, or any source that GDAL/OGR reads"`
	Layer   string          `yaml:"layer" doc:"the layer of a vector source with several"`
	Where   string          `yaml:"where" doc:"attribute filter, as in SQL: status = 'open'"`
	Fields  map[string]word `yaml:"fields" doc:"the source's own column for each of ours"`
	Licence string          `yaml:"licence" doc:"the source's licence, for what is published from it"`
}
