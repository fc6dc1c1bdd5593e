package tiles

import (
	"encoding/csv"
	"encoding/json"
	"os"
	"path/filepath"
	"strconv"
	"testing"
)

// Reference files lie in testdata/references, with their sources in its README.
func referencePath(name string) string {
	return filepath.Join("..", "testdata", "references", name)
}

func referenceRows(t *testing.T, name string) [][]string {
	t.Helper()
	f, err := os.Open(referencePath(name))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	return rows[1:]
}

func referenceJSON(t *testing.T, name string, into any) {
	t.Helper()
	text, err := os.ReadFile(referencePath(name))
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(text, into); err != nil {
		t.Fatal(err)
	}
}

func number(t *testing.T, text string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(text, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}
