package project

type recordSource struct {
	at
	Source       string          `yaml:"source" need:"yes" doc:"a Darwin Core table (.csv, .tsv, .txt), a Darwin Core archive (.zip), or any vector source"`
	Layer        string          `yaml:"layer" doc:"the layer of a vector source with several"`
	Where        string          `yaml:"where" doc:"attribute filter of a vector source"`
	Fields       map[string]word `yaml:"fields" doc:"the source's own column for a Darwin Core term, as in {scientificName: sp}"`
	Values       map[string]word `yaml:"values" doc:"what stands in where a term has no column or a cell is empty"`
	CRS          string          `yaml:"crs" doc:"coordinate reference system of x and y, where rows do not name one"`
	Square       *float64        `yaml:"square" is:"(0,1000000]" doc:"side of the squares that places are given to, metres"`
	Encoding     string          `yaml:"encoding" doc:"encoding of a table, where it is not found by looking"`
	Delimiter    string          `yaml:"delimiter" doc:"one character, or tab, where it is not found by looking"`
	Quote        string          `yaml:"quote" doc:"the character that quotes, or none"`
	DecimalComma bool            `yaml:"decimal_comma" doc:"true where numbers have a comma for the point"`
	Licence      string          `yaml:"licence" doc:"the source's licence, for what is published from it"`
}

type ranges struct {
	at
	Source  string          `yaml:"source" need:"yes" doc:"a vector source of polygons"`
	Layer   string          `yaml:"layer" doc:"the layer of a vector source with several"`
	Where   string          `yaml:"where" doc:"attribute filter"`
	Fields  map[string]word `yaml:"fields" doc:"the source's own column for species, status, year, author, scale and note"`
	Values  map[string]word `yaml:"values" doc:"what stands in where there is no column, as in {species: Vipera berus, status: extant}"`
	CRS     string          `yaml:"crs" doc:"coordinate reference system of a source that names none"`
	Repair  bool            `yaml:"repair" doc:"true to mend invalid polygons instead of refusing them"`
	Licence string          `yaml:"licence" doc:"the source's licence, for what is published from it"`
}
