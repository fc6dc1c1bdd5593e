package main

import (
	"bytes"
	"os"
	"regexp"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/txtar"
)

const readme = "../../README.md"

// session is the README's terminal session.
var session = regexp.MustCompile("(?s)```console\n(.*?)```\n")

// TestReadmeSession holds the README's session against the script that a test
// runs (testdata/scripts/readme.txtar), and every other command that the README
// shows against all scripts. -update copies the session.
func TestReadmeSession(t *testing.T) {
	script, err := txtar.ParseFile("testdata/scripts/readme.txtar")
	if err != nil {
		t.Fatal(err)
	}
	want := sessionOf(t, script)
	raw, err := os.ReadFile(readme)
	if err != nil {
		t.Fatal(err)
	}
	at := session.FindSubmatchIndex(raw)
	if at == nil {
		t.Fatal("the README shows no session")
	}
	if got := string(raw[at[2]:at[3]]); got != want {
		if !*update {
			t.Errorf("the README's session differs from the script's:\n%s", want)
		}
		raw = bytes.Join([][]byte{raw[:at[2]], []byte(want), raw[at[3]:]}, nil)
		if *update {
			if err := os.WriteFile(readme, raw, 0o666); err != nil {
				t.Fatal(err)
			}
		}
	}
	scripts := allScripts(t)
	for _, shown := range regexp.MustCompile("`(tussock [^`]+)`").FindAllStringSubmatch(string(raw), -1) {
		if !strings.Contains(scripts, " "+shown[1]) {
			t.Errorf("the README shows `%s`, which no script runs", shown[1])
		}
	}
}

// sessionOf is a script as a terminal shows it: each command of exec with the
// file that its output is compared to.
func sessionOf(t *testing.T, script *txtar.Archive) string {
	t.Helper()
	files := map[string][]byte{}
	for _, f := range script.Files {
		files[f.Name] = f.Data
	}
	var b strings.Builder
	for _, line := range strings.Split(string(script.Comment), "\n") {
		if command, is := strings.CutPrefix(line, "exec tussock "); is {
			b.WriteString("$ tussock " + command + "\n")
		}
		if name, is := strings.CutPrefix(line, "cmp stdout "); is {
			b.Write(files[name])
		}
	}
	return b.String()
}
