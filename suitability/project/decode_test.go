package project

import (
	"strings"
	"testing"
)

// decodeOne reads a YAML text into a section of one number.
func decodeOne(t *testing.T, text string) (float64, Problems) {
	t.Helper()
	var section struct {
		X float64 `yaml:"x" is:"[-1e9,1e9]"`
	}
	r := newReport()
	if d := readDocument("x.yaml", text, r); d != nil {
		d.decode(d.root, valueOf(&section), "", rule{})
	}
	return section.X, r.problems
}

// Numbers as YAML 1.2.2, section 10.3.2 (core schema), writes them; a leading
// zero is base 8 in YAML 1.1 and base 10 in 1.2, so it is refused.
func TestNumbers(t *testing.T) {
	for text, want := range map[string]float64{
		"0": 0, "-0.5": -0.5, "+3": 3, ".5": 0.5, "5.": 5, "1e3": 1000, "1.5E-2": 0.015, "-2e+1": -20, "0.25": 0.25,
		"0x1F": 31, "1_000": 1000, "!!float 2": 2, "&a 7": 7,
	} {
		got, problems := decodeOne(t, "x: "+text+"\n")
		if got != want || len(problems) > 0 {
			t.Errorf("%s: %v, %v; want %v", text, got, problems, want)
		}
	}
	for text, want := range map[string]string{
		"010": "base 8", "-007": "base 8", "1,5": "write 1.5", "30 m": "write 30 alone", `"5"`: "leave the quotes out",
		".inf": "finite", "-.inf": "finite", ".nan": "finite", "1e400": "not a usable number", "2e9": "out of bounds",
		"": "nothing is written", "~": "nothing is written", "[1]": "a list", "{a: 1}": "a mapping", "true": "a number is needed", "ten": "a number is needed",
		"0x": "a number is needed", "1e": "a number is needed", "--1": "a number is needed",
	} {
		_, problems := decodeOne(t, "x: "+text+"\n")
		if len(problems) != 1 || !strings.Contains(problems.Error(), want) {
			t.Errorf("%s: %v; want %q", text, problems, want)
		}
	}
}

func TestIntervals(t *testing.T) {
	for _, c := range []struct {
		tag, words string
		in, out    []float64
	}{
		{"", "any number", []float64{-1e300, 0, 1e300}, nil},
		{"[0,1]", "from 0 to 1", []float64{0, 0.5, 1}, []float64{-1e-9, 1.0000001}},
		{"[0,1)", "from 0 to under 1", []float64{0, 0.99}, []float64{1, -1}},
		{"(0,1]", "above 0 and up to 1", []float64{1e-9, 1}, []float64{0, 2}},
		{"(0,1)", "above 0 and under 1", []float64{0.5}, []float64{0, 1}},
		{"(0,]", "greater than 0", []float64{1e-300}, []float64{0, -1}},
		{"[3,]", "3 or more", []float64{3}, []float64{2.9}},
		{"[,3]", "at most 3", []float64{3}, []float64{3.1}},
	} {
		in := parseInterval(c.tag)
		if in.String() != c.words {
			t.Errorf("%q is %q in words", c.tag, in)
		}
		for _, v := range c.in {
			if !in.holds(v) {
				t.Errorf("%q leaves out %g", c.tag, v)
			}
		}
		for _, v := range c.out {
			if in.holds(v) {
				t.Errorf("%q holds %g", c.tag, v)
			}
		}
	}
}

// Merge keys: what is written here goes before what is merged in, and an
// earlier mapping of a list before a later one (YAML merge key type, 2005).
func TestMergeKeys(t *testing.T) {
	var section struct {
		A float64 `yaml:"a"`
		B float64 `yaml:"b"`
		C float64 `yaml:"c"`
	}
	r := newReport()
	d := readDocument("x.yaml", "a: 1\n<<: [{a: 2, b: 3}, {b: 4, c: 5}]\n", r)
	d.decode(d.root, valueOf(&section), "", rule{})
	if section.A != 1 || section.B != 3 || section.C != 5 || len(r.problems) > 0 {
		t.Errorf("%+v, %v", section, r.problems)
	}
}
