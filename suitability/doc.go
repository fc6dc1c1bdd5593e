// Package suitability is the model: how well a place's habitat fits a species,
// as experts state it in a [Profile], and what the species' documented range
// lets one say about it.
//
//	rating      s = rating(measure)                    floor to 1
//	requisite   R = Σ w·s / Σ w                        criteria compensate within a life requisite
//	suitability H = M(R; W)                            a mean between requisites, see [Rule]
//	            S = H · Π factors                      multipliers; an excluded cell has S = 0
//	shown       S · range factor                       see [PublicFactor] and [PlanningFactor]
//
// Suitability indices between 0 and 1, life requisites and their combination by
// arithmetic mean, geometric mean or limiting factor follow U.S. Fish and
// Wildlife Service (1980), Habitat Evaluation Procedures, Ecological Services
// Manual 102, and (1981), Standards for the Development of Habitat Suitability
// Index Models, Ecological Services Manual 103.
//
// [Profile.Explain] is the reference: plain float64 for one cell, every step
// kept. [Evaluator] is the same expression compiled for rows of cells; the two
// agree within 1e-6 in S.
//
// The model touches no file: measures come from package layers. One is made here,
// [NearbySpecies], the best suitability of other species near by (prey,
// competitors): it evaluates their profiles with the reader that it is given, so
// its reach is its radius plus their own. Known records near by enter as a
// layers.PointKernel, of the species' own records only; [Profile.For] leaves them
// out where they would show the places of a sensitive species.
package suitability
