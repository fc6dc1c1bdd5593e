package main

import (
	"encoding/json"
	"os/exec"
	"slices"
	"strings"
	"testing"
)

// floors are the storeys of the house, from the ground up. A package may import
// its own storey's root and any storey below; cmd imports all.
var floors = []string{"layers", "suitability", "tiles", "cmd"}

// siblings are the only calls between packages of one storey that are not to
// its root.
var siblings = map[string][]string{
	"tiles/site":            {"tiles/sheet"},
	"suitability/screening": {"suitability/nearby"},
	"suitability/vetting":   {"suitability/nearby"},
}

// programOf is the program that a package of the top storey belongs to; the rooms
// of one program may call each other.
func programOf(pkg string) string {
	parts := strings.SplitN(pkg, "/", 3)
	if len(parts) < 2 || parts[0] != "cmd" {
		return ""
	}
	return parts[1]
}

// ignorant are packages that must know nothing of the model: what they make is
// held against it.
var ignorant = []string{"cmd/averholt/geo", "cmd/averholt/land", "cmd/averholt/life"}

func floorOf(pkg string) int {
	root, _, _ := strings.Cut(pkg, "/")
	return slices.Index(floors, root)
}

// TestArrowsPointOneWay reads the imports of every package, tests left out, and
// holds them against the floor plan in DEVELOPERS.md.
func TestArrowsPointOneWay(t *testing.T) {
	out, err := exec.Command("go", "list", "-json=ImportPath,Imports", "tussock/...").Output()
	if err != nil {
		t.Fatalf("go list: %v", err)
	}
	packages := 0
	for decoder := json.NewDecoder(strings.NewReader(string(out))); decoder.More(); packages++ {
		var p struct {
			ImportPath string
			Imports    []string
		}
		if err := decoder.Decode(&p); err != nil {
			t.Fatal(err)
		}
		for _, imported := range p.Imports {
			checkArrow(t, strings.TrimPrefix(p.ImportPath, "tussock/"), imported)
		}
	}
	if packages < 5 {
		t.Fatalf("only %d packages were listed", packages)
	}
}

func checkArrow(t *testing.T, from, imported string) {
	if imported == "C" && from != "layers/internal/gdal" {
		t.Errorf("%s uses cgo; only layers/internal/gdal may", from)
	}
	to, ours := strings.CutPrefix(imported, "tussock/")
	if !ours {
		return
	}
	above, below := floorOf(from), floorOf(to)
	switch {
	case above < 0 || below < 0:
		t.Errorf("%s → %s: not a room of the house", from, to)
	case below > above:
		t.Errorf("%s → %s points upwards", from, to)
	case slices.Contains(ignorant, from) && floors[below] != "layers" && programOf(to) == "":
		t.Errorf("%s → %s: the known answer must not come from the model", from, to)
	case programOf(from) != "" && programOf(from) == programOf(to):
	case below == above && to != floors[below] && !slices.Contains(siblings[from], to) && !strings.HasPrefix(to, from+"/internal/"):
		t.Errorf("%s → %s: a call between neighbours", from, to)
	}
}
