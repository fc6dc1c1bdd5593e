package project

import (
	"errors"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"time"
)

func TestEncodings(t *testing.T) {
	for _, c := range []struct{ name, raw, want string }{
		{"UTF-8", "a: é\n", ""},
		{"UTF-8 with mark", "\xef\xbb\xbfa: é\n", ""},
		{"UTF-16LE", "\xff\xfea\x00:\x00", "UTF-16"},
		{"UTF-16BE", "\xfe\xff\x00a\x00:", "UTF-16"},
		{"UTF-16LE without mark", "a\x00:\x00 \x001\x00", "UTF-16"},
		{"UTF-16BE without mark", "\x00a\x00:\x00 \x001", "UTF-16"},
		{"UTF-32LE", "\xff\xfe\x00\x00a\x00\x00\x00", "UTF-32"},
		{"UTF-32BE", "\x00\x00\x00a\x00\x00\x00:", "UTF-32"},
		{"Latin-1", "a: \xe9\n", "x.yaml:1:4: byte 0xE9"},
		{"cut off", "a: 1\nb: \xc3", "x.yaml:2:4: byte 0xC3"},
		{"a real replacement character", "a: \ufffd\n", ""},
		{"control", "a: 1\n\x01", "x.yaml:2:1: control character 0x01"},
		{"too large", strings.Repeat("#", maxFileBytes+1), "larger than 8 MiB"},
	} {
		text, err := textOf("x.yaml", []byte(c.raw))
		if c.want == "" {
			if err != nil || strings.HasPrefix(text, "\ufeff") {
				t.Errorf("%s: %q, %v", c.name, text, err)
			}
		} else if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v; want %q", c.name, err, c.want)
		}
	}
}

func TestMissingProjectFile(t *testing.T) {
	_, err := Load(filepath.Join(t.TempDir(), "nowhere.yaml"))
	if !errors.Is(err, os.ErrNotExist) {
		t.Errorf("%v", err)
	}
	if _, err := Load(t.TempDir()); !errors.Is(err, os.ErrNotExist) {
		t.Errorf("a folder without a project file: %v", err)
	}
}

// TestBombs: what would make a reader slow or hungry is refused with one
// problem, quickly and in little memory.
func TestBombs(t *testing.T) {
	n := 1 << 20
	for name, text := range map[string]string{
		"brackets":          "a: " + strings.Repeat("[", n),
		"braces":            "a: " + strings.Repeat("{a: ", n/4),
		"compact lists":     strings.Repeat("- ", n/2) + "x",
		"explicit keys":     strings.Repeat("? ", n/2) + "x",
		"anchors":           strings.Repeat("&a ", n/3) + "x",
		"tags":              strings.Repeat("!a ", n/3) + "x",
		"entries":           "[" + strings.Repeat("1,", 2*n) + "]",
		"long key":          strings.Repeat("k", 2048) + ": 1",
		"long paths":        longPaths(),
		"doubling":          doubling(40),
		"doubling by depth": deepening(80),
		"merge":             "a: &a {<<: *a}\n",
	} {
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		start := time.Now()
		r := readProject("x.yaml", text)
		took := time.Since(start)
		runtime.ReadMemStats(&after)
		t.Logf("%s: %v, %d MB", name, took, (after.TotalAlloc-before.TotalAlloc)>>20)
		if len(r.problems) != 1 {
			t.Errorf("%s: %d problems, first %.200v", name, len(r.problems), r.problems)
		}
		if took > 5*time.Second || after.TotalAlloc-before.TotalAlloc > 1<<30 {
			t.Errorf("%s: %v and %d MB", name, took, (after.TotalAlloc-before.TotalAlloc)>>20)
		}
	}
}

// longPaths nests long keys, so that every one of many leaves has a long path.
func longPaths() string {
	var b strings.Builder
	for depth := range 20 {
		b.WriteString(strings.Repeat(" ", depth) + strings.Repeat("k", 1000) + ":\n")
	}
	for range 100_000 {
		b.WriteString(strings.Repeat(" ", 20) + "- x\n")
	}
	return b.String()
}

func doubling(n int) string {
	text := "a0: &a0 [x, x]\n"
	for i := range n {
		text += strings.NewReplacer("N", itoa(i+1), "M", itoa(i)).Replace("aN: &aN [*aM, *aM]\n")
	}
	return text
}

func deepening(n int) string {
	text := "a0: &a0 [x]\n"
	for i := range n {
		text += strings.NewReplacer("N", itoa(i+1), "M", itoa(i)).Replace("aN: &aN [*aM]\n")
	}
	return text
}

func itoa(i int) string { return string(rune('a'+i/26)) + string(rune('a'+i%26)) }

func FuzzProject(f *testing.F) {
	for _, pattern := range []string{"testdata/valid/*.yaml", "testdata/valid/species/*.yaml", "testdata/wrong/*.yaml"} {
		files, _ := filepath.Glob(pattern)
		for _, file := range files {
			raw, err := os.ReadFile(file)
			if err != nil {
				f.Fatal(err)
			}
			f.Add(raw)
		}
	}
	f.Fuzz(func(t *testing.T, raw []byte) {
		text, err := textOf("x.yaml", raw)
		if err != nil {
			return
		}
		r := readProject("testdata/valid/x.yaml", text)
		if err := r.err(); err == nil {
			r.project()
			return
		}
		for _, p := range r.problems {
			if p.Message == "" || p.Line < 0 || p.Line > strings.Count(text, "\n")+1 || p.Column < 0 {
				t.Fatalf("a problem without a place or a word: %+v", p)
			}
		}
	})
}
