package suitability

import (
	"bytes"
	"context"
	"errors"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// TestVerifyFindsEveryHarm harms one published file at a time.
func TestVerifyFindsEveryHarm(t *testing.T) {
	j := smallJob(t)
	work(t, j)
	verify := func() []Difference {
		p, err := j.Plan(512, 1)
		if err != nil {
			t.Fatal(err)
		}
		found, err := p.Verify(context.Background())
		if err != nil {
			t.Fatal(err)
		}
		return found
	}
	if found := verify(); len(found) > 0 {
		t.Fatalf("nothing was harmed, and %v", found)
	}
	random := rand.New(rand.NewPCG(7, 7))
	files := publishedFiles(t, j)
	if len(files) < 19 {
		t.Errorf("only %d files", len(files))
	}
	for name := range files {
		if name == CatalogueName {
			continue
		}
		path := filepath.Join(j.Folder, name)
		raw, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		flipped := bytes.Clone(raw)
		flipped[random.IntN(len(raw))] ^= 1 << random.IntN(8)
		for what, harmed := range map[string][]byte{"flipped": flipped, "cut": raw[:len(raw)/2], "longer": append(bytes.Clone(raw), '\n'), "missing": nil} {
			isItem := strings.HasSuffix(name, ".json")
			if isItem && (what == "flipped" || what == "longer") {
				continue // an item is not checked by a sum, only by what it lists
			}
			os.Remove(path)
			if harmed != nil {
				os.WriteFile(path, harmed, 0o666)
			}
			found := verify()
			// without its item a surface is not there, so the plan has it to do
			if len(found) != 1 || found[0].File != name {
				t.Errorf("%s %s: found %v", name, what, found)
			}
		}
		if err := os.WriteFile(path, raw, 0o666); err != nil {
			t.Fatal(err)
		}
	}
	if found := verify(); len(found) > 0 {
		t.Errorf("all was put back, and %v", found)
	}
}

// The checksums of an item against the sha256sum of the system.
func TestItemChecksumsAgainstSha256sum(t *testing.T) {
	tool, err := exec.LookPath("sha256sum")
	if err != nil {
		t.Skip("sha256sum is not installed")
	}
	j := smallJob(t)
	c := build(t, j)
	v := verification{folder: j.Folder}
	item, err := v.item(c.Species[0].Item)
	if err != nil {
		t.Fatal(err)
	}
	for key, a := range item.Assets {
		path := filepath.Join(j.Folder, filepath.Dir(c.Species[0].Item), a.Href)
		out, err := exec.Command(tool, path).Output()
		if err != nil {
			t.Fatal(err)
		}
		sum, _, _ := strings.Cut(string(out), " ")
		if a.Checksum != "1220"+sum { // multihash: 0x12 is sha2-256, 0x20 its 32 bytes
			t.Errorf("%s: %s, sha256sum says %s", key, a.Checksum, sum)
		}
	}
	raw, _ := os.ReadFile(filepath.Join(j.Folder, c.Species[0].Item))
	if !bytes.Contains(raw, []byte("https://stac-extensions.github.io/file/v2.1.0/schema.json")) {
		t.Error("the item does not name the file extension")
	}
}

// A plan that moved on is a difference too, and a list that leads out of the
// folder is not followed.
func TestVerifyHoldsCatalogueAgainstPlan(t *testing.T) {
	j := smallJob(t)
	p, err := j.Plan(512, 1)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := p.Verify(context.Background()); !errors.Is(err, ErrNoCatalogue) {
		t.Errorf("nothing published: %v", err)
	}
	work(t, j)
	j.Subjects[0].Profile.Floor = 0.3
	j.Subjects = append(j.Subjects, Subject{Profile: beiLike()})
	p, err = j.Plan(512, 1)
	if err != nil {
		t.Fatal(err)
	}
	found, err := p.Verify(context.Background())
	if err != nil || len(found) != 3 { // the changed, the new, and the number of species
		t.Errorf("%v %v", found, err)
	}
	stopped, stop := context.WithCancel(context.Background())
	stop()
	if _, err := p.Verify(stopped); !errors.Is(err, context.Canceled) {
		t.Errorf("stopped: %v", err)
	}
	v := verification{folder: j.Folder}
	if _, err := v.open("../elsewhere"); err == nil {
		t.Error("a file outside the folder was opened")
	}
}
