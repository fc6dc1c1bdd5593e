package land

// laneNames are invented names for lanes, in the seed's own order.
func laneNames(seed uint64) []string {
	first := []string{"Alder", "Ash", "Barley", "Bell", "Birch", "Blackthorn", "Bracken", "Brook", "Carr", "Chapel", "Clay",
		"Crab", "Cuckoo", "Dock", "Elder", "Fallow", "Fern", "Fiddler's", "Gate", "Goose", "Gorse", "Hag", "Hazel", "Heron",
		"Hollow", "Hopper's", "Kiln", "Larch", "Ling", "Long", "Marl", "Mill", "Moor", "Nettle", "Oak", "Osier", "Otter",
		"Pound", "Quarry", "Rush", "Sallow", "Sand", "Sedge", "Short", "Skarn", "Slate", "Sloe", "Smithy", "Stony", "Tanner's",
		"Thistle", "Thorn", "Tinker's", "Vine", "Wath", "Weaver's", "Wether", "Whin", "Willow", "Withy"}
	rng := stream(seed, "lane names")
	second := []string{"Lane", "Lane", "Lane", "Road", "Lane", "Way"}
	var names []string
	for _, i := range rng.Perm(len(first)) {
		names = append(names, first[i]+" "+second[rng.IntN(len(second))])
	}
	return names
}
