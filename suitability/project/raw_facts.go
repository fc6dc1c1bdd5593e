package project

// facts are what a profile says beside what shapes its map.
type facts struct {
	Legal        string         `yaml:"legal" doc:"a note on protection; the local law decides"`
	Why          string         `yaml:"why_sensitive" doc:"why knowledge of a place could do harm"`
	ElevationMax *float64       `yaml:"elevation_max" is:"[-500,9000]" doc:"metres above which a record is doubtful"`
	InWater      bool           `yaml:"in_water" doc:"true for a species that is met in open water"`
	Hazard       hazard         `yaml:"hazard" doc:"harm that people can come to where it is looked for"`
	Movement     movement       `yaml:"movement" doc:"how far the animals go"`
	Season       season         `yaml:"season" doc:"when it can be met"`
	Survey       []surveyMethod `yaml:"survey" few:"1" doc:"ways to look for it"`
	Patch        patch          `yaml:"patch" doc:"how much room a population takes, and what parts one from the next"`
	LookAlikes   []lookAlike    `yaml:"look_alikes" few:"1" doc:"what it is mistaken for"`
}

type hazard struct {
	at
	Level  string `yaml:"level" need:"yes" of:"none|low|road|water|venomous" doc:"none, low, road, water or venomous"`
	Text   string `yaml:"text" doc:"what to do and to leave"`
	Source string `yaml:"source" doc:"who or what says so, or assumption; the profile's where nothing is said"`
}

type movement struct {
	at
	HomeRange *homeRange `yaml:"home_range" doc:"square metres, low, typical and high"`
	Typical   *float64   `yaml:"typical" is:"(0,10000000]" doc:"metres between where an animal breeds and where it lives"`
	Far       *float64   `yaml:"far" is:"(0,10000000]" doc:"metres that some are known to go"`
	Max       *float64   `yaml:"max" is:"(0,10000000]" doc:"metres, the longest known"`
	Effect    *float64   `yaml:"effect" is:"(0,10000000]" doc:"metres, the scale at which the land around matters"`
	Source    string     `yaml:"source" doc:"who or what says so, or assumption; the profile's where nothing is said"`
}

type homeRange struct {
	at
	Low     *float64 `yaml:"low" need:"yes" is:"(0,]" doc:"square metres"`
	Typical *float64 `yaml:"typical" need:"yes" is:"(0,]" doc:"square metres"`
	High    *float64 `yaml:"high" need:"yes" is:"(0,]" doc:"square metres"`
}

type season struct {
	at
	Active *[12]float64 `yaml:"active" is:"[0,1]" doc:"how active it is in each month from January, 1 at the height"`
	Best   []int        `yaml:"best" is:"[1,12]" few:"1" doc:"numbers of the best months"`
	Weeks  *[2]int      `yaml:"weeks" is:"[1,53]" doc:"first and last ISO week in which a record is plausible"`
}

type surveyMethod struct {
	at
	Method   string     `yaml:"method" need:"yes" doc:"what is done"`
	P        *detection `yaml:"p" doc:"probability that one visit finds the species where it lives"`
	When     string     `yaml:"when" doc:"season, weather and hours"`
	Spacing  *int       `yaml:"spacing" is:"[1,366]" doc:"days between visits"`
	Pairs    string     `yaml:"pairs" of:"required|advised" doc:"whether two people go together"`
	Licensed bool       `yaml:"licensed" doc:"true where only licensed people may use it"`
	Source   string     `yaml:"source" doc:"who or what says so, or assumption; the profile's where nothing is said"`
}

type detection struct {
	at
	Low  *float64 `yaml:"low" need:"yes" is:"(0,1)" doc:"above 0 and under 1"`
	Mode *float64 `yaml:"mode" need:"yes" is:"(0,1)" doc:"the most likely, above 0 and under 1"`
	High *float64 `yaml:"high" need:"yes" is:"(0,1)" doc:"above 0 and under 1"`
}

type patch struct {
	at
	Min     *float64 `yaml:"min" is:"(0,]" doc:"square metres that a population takes"`
	Gap     *float64 `yaml:"gap" is:"[0,10000000]" doc:"metres between patches that are still one"`
	Barrier *float64 `yaml:"barrier" is:"(0,]" doc:"vehicles a day from which a road parts two patches"`
	Source  string   `yaml:"source" doc:"who or what says so, or assumption; the profile's where nothing is said"`
}

type lookAlike struct {
	at
	With   string `yaml:"with" need:"yes" doc:"the id of another species of the project, or words"`
	Mark   string `yaml:"mark" need:"yes" doc:"the mark that tells the two apart"`
	Source string `yaml:"source" doc:"who or what says so, or assumption; the profile's where nothing is said"`
}
