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
	case below == above && to != floors[below] && !slices.Contains(siblings[from], to) && !strings.HasPrefix(to, from+"/internal/"):
		t.Errorf("%s → %s: a call between neighbours", from, to)
	}
}
