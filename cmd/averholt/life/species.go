package life

// Species is one of the ten, as the people of Averholt meet it.
type Species struct {
	ID, Scientific, Common string
	Group                  string // amphibian or reptile

	scale    float64     // m, over which neighbours share their fate
	share    float64     // of the district that it occupies
	active   [12]float64 // chance to be about, by month, relative to the best
	weeks    [2]int      // the first and last ISO week in which it is about
	inWater  bool        // met in open water, spawn included
	records  int         // how many sound records there are
	most     int         // animals that one record may count
	stages   []string    // life stages as recorders write them, the commonest first
	methods  []method
	likeness float64 // how far a hidden change of management moves it
}

// method is a way to look for a species and the chance to find it on one visit
// in good conditions where it is: lowest, most likely, highest.
type method struct {
	name            string
	low, mode, high float64
}

const (
	walkAndRefuges = "slow walk and refuges"
	torchPond      = "torch count at ponds"
	nightPools     = "night search and listening at pools"
	roadWalk       = "road crossing walk"
)

const (
	amphibian = "amphibian"
	reptile   = "reptile"
)

// allSpecies are the ten, prey before those who eat it.
var allSpecies = []Species{
	{
		ID: "natterjack", Scientific: "Epidalea calamita", Common: "Natterjack toad", Group: amphibian,
		scale: 1300, share: 0.004, active: [12]float64{0, 0, 0.1, 0.8, 1, 0.9, 0.6, 0.6, 0.4, 0.1, 0, 0}, weeks: [2]int{12, 42}, inWater: true,
		records: 20, most: 40, stages: []string{"adult", "adult", "spawn", "larva", "juvenile"}, likeness: 0.4,
		methods: []method{{nightPools, 0.40, 0.60, 0.80}},
	},
	{
		ID: "great_crested_newt", Scientific: "Triturus cristatus", Common: "Great crested newt", Group: amphibian,
		scale: 500, share: 0.035, active: [12]float64{0, 0.1, 0.7, 1, 1, 0.8, 0.4, 0.3, 0.3, 0.2, 0, 0}, weeks: [2]int{6, 45}, inWater: true,
		records: 34, most: 12, stages: []string{"adult", "adult", "adult", "egg", "larva"}, likeness: 0.5,
		methods: []method{{torchPond, 0.25, 0.39, 0.55}},
	},
	{
		ID: "smooth_newt", Scientific: "Lissotriton vulgaris", Common: "Smooth newt", Group: amphibian,
		scale: 400, share: 0.11, active: [12]float64{0, 0.3, 0.8, 1, 1, 0.8, 0.5, 0.4, 0.4, 0.3, 0.1, 0}, weeks: [2]int{4, 48}, inWater: true,
		records: 46, most: 25, stages: []string{"adult", "adult", "adult", "egg", "larva", "juvenile"}, likeness: 0.3,
		methods: []method{{torchPond, 0.35, 0.55, 0.75}},
	},
	{
		ID: "common_toad", Scientific: "Bufo bufo", Common: "Common toad", Group: amphibian,
		scale: 1200, share: 0.24, active: [12]float64{0, 0.4, 1, 0.9, 0.5, 0.4, 0.4, 0.4, 0.4, 0.3, 0.1, 0}, weeks: [2]int{5, 46}, inWater: true,
		records: 66, most: 80, stages: []string{"adult", "adult", "adult", "spawn", "juvenile"}, likeness: 0.2,
		methods: []method{{roadWalk, 0.50, 0.75, 0.90}, {torchPond, 0.50, 0.70, 0.90}},
	},
	{
		ID: "sand_lizard", Scientific: "Lacerta agilis", Common: "Sand lizard", Group: reptile,
		scale: 150, share: 0.007, active: [12]float64{0, 0, 0.4, 1, 1, 0.7, 0.4, 0.6, 0.6, 0.2, 0, 0}, weeks: [2]int{10, 43},
		records: 24, most: 5, stages: []string{"adult", "adult", "juvenile", ""}, likeness: 0.6,
		methods: []method{{walkAndRefuges, 0.20, 0.40, 0.60}},
	},
	{
		ID: "common_lizard", Scientific: "Zootoca vivipara", Common: "Common lizard", Group: reptile,
		scale: 75, share: 0.14, active: [12]float64{0, 0.1, 0.6, 1, 1, 0.8, 0.6, 0.7, 0.8, 0.3, 0, 0}, weeks: [2]int{7, 45},
		records: 58, most: 9, stages: []string{"adult", "adult", "juvenile", ""}, likeness: 0.3,
		methods: []method{{walkAndRefuges, 0.35, 0.53, 0.65}},
	},
	{
		ID: "slow_worm", Scientific: "Anguis fragilis", Common: "Slow-worm", Group: reptile,
		scale: 100, share: 0.10, active: [12]float64{0, 0, 0.3, 0.9, 1, 0.8, 0.5, 0.5, 0.9, 0.4, 0, 0}, weeks: [2]int{9, 45},
		records: 50, most: 11, stages: []string{"adult", "adult", "juvenile", ""}, likeness: 0.3,
		methods: []method{{walkAndRefuges, 0.22, 0.60, 0.70}},
	},
	{
		ID: "adder", Scientific: "Vipera berus", Common: "Adder", Group: reptile,
		scale: 600, share: 0.018, active: [12]float64{0, 0.3, 1, 1, 0.8, 0.5, 0.4, 0.5, 0.6, 0.3, 0, 0}, weeks: [2]int{6, 45},
		records: 34, most: 7, stages: []string{"adult", "adult", "adult", "juvenile", ""}, likeness: 0.5,
		methods: []method{{walkAndRefuges, 0.20, 0.45, 0.63}},
	},
	{
		ID: "grass_snake", Scientific: "Natrix helvetica", Common: "Grass snake", Group: reptile,
		scale: 1000, share: 0.13, active: [12]float64{0, 0, 0.4, 1, 1, 0.8, 0.6, 0.6, 0.7, 0.3, 0, 0}, weeks: [2]int{9, 45}, inWater: true,
		records: 32, most: 3, stages: []string{"adult", "adult", "juvenile", "egg", ""}, likeness: 0.3,
		methods: []method{{walkAndRefuges, 0.15, 0.35, 0.58}},
	},
	{
		ID: "smooth_snake", Scientific: "Coronella austriaca", Common: "Smooth snake", Group: reptile,
		scale: 200, share: 0.004, active: [12]float64{0, 0, 0.2, 0.7, 1, 0.8, 0.7, 0.8, 0.8, 0.2, 0, 0}, weeks: [2]int{12, 43},
		records: 12, most: 2, stages: []string{"adult", "adult", "juvenile"}, likeness: 0.6,
		methods: []method{{walkAndRefuges, 0.10, 0.20, 0.40}},
	},
}

// speciesNamed finds one of the ten by its id.
func speciesNamed(id string) *Species {
	for i := range allSpecies {
		if allSpecies[i].ID == id {
			return &allSpecies[i]
		}
	}
	panic("life: no species " + id) // ids are constants
}
