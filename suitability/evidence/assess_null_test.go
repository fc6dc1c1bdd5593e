package evidence

import (
	"math/rand/v2"
	"os"
	"strconv"
	"testing"
)

// TestAnHonestNull maps a species by a covariate that has nothing to do with where
// it lives, as smooth as ground is, and counts how often skill is claimed. Records
// come in clumps, as those of volunteers do: five parts in ten of them within 2 km
// of places that many people visit. With ground that the species does follow, the
// same numbers of records must mostly be enough.
func TestAnHonestNull(t *testing.T) {
	const powerSeeds = 5
	t.Parallel()
	seeds := seedsOf(t)
	for _, c := range []struct {
		records int
		clumped bool
	}{{30, false}, {61, true}} {
		claims, worse, power := 0, 0, 0
		for seed := range uint64(seeds) {
			null, told := nullAndTold(t, seed, c.records, c.clumped, seed < powerSeeds)
			switch null {
			case Better:
				claims++
			case Worse:
				worse++
			}
			if told == Better {
				power++
			}
		}
		t.Logf("seeds 0 to %d, %d records, clumped %t: noise is claimed as skill %d times, as worse than chance %d; real skill is seen %d times of %d", seeds-1, c.records, c.clumped, claims, worse, power, powerSeeds)
		if claims > seeds/10 {
			t.Errorf("%d records, clumped %t: skill is claimed for noise in %d of %d cases", c.records, c.clumped, claims, seeds)
		}
		if power <= powerSeeds/2 {
			t.Errorf("%d records, clumped %t: real skill is seen in %d of %d cases", c.records, c.clumped, power, powerSeeds)
		}
	}
}

// seedsOf is 20, or as many as TUSSOCK_SEEDS says.
func seedsOf(t *testing.T) int {
	t.Helper()
	text := os.Getenv("TUSSOCK_SEEDS")
	if text == "" {
		return 20
	}
	n, err := strconv.Atoi(text)
	if err != nil {
		t.Fatal(err)
	}
	return n
}

// nullAndTold assesses a map by noise and, where asked for, one by the ground that
// is lived on.
func nullAndTold(t *testing.T, seed uint64, n int, clumped, real bool) (null, told Skill) {
	t.Helper()
	random := rand.New(rand.NewPCG(seed, 1))
	g := landGrid(t, 120, 120)
	lived, noise := hills(random, g, 30), hills(random, g, 30)
	j := landJob(t, g, map[string][]float32{"lived": lived, "noise": noise})
	places := scattered(random, g, lived, 2, n)
	if clumped {
		var centres []Place
		centres = scattered(random, g, lived, 0, 6)
		for i := 0; i < n/2; {
			p := scattered(random, g, lived, 2, 1)[0]
			for _, c := range centres {
				if max(p.At[0]-c.At[0], c.At[0]-p.At[0], p.At[1]-c.At[1], c.At[1]-p.At[1]) < 1000 && i < n/2 {
					places[i] = p
					i++
				}
			}
		}
	}
	o := AssessOptions{Seed: seed, Draws: 100}
	if real {
		told = assessPlaces(t, j, likes("lived"), places, o).Claim.Skill
	}
	return assessPlaces(t, j, likes("noise"), places, o).Claim.Skill, told
}
