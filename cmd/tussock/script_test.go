package main

import (
	"encoding/json"
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
)

// TestScripts runs the program as people do: testdata/scripts/*.txtar. In each
// script's folder, testdata/bei is the open data of the same name and
// build/averholt the invented district (both links), and `plot` stands for a copy
// of the open data's project that may be written to.
func TestScripts(t *testing.T) {
	data, err := filepath.Abs("../../testdata/bei")
	if err != nil {
		t.Fatal(err)
	}
	invented := averholt(t)
	testscript.Run(t, testscript.Params{
		Dir:                 "testdata/scripts",
		UpdateScripts:       *update,
		RequireExplicitExec: true,
		Setup: func(env *testscript.Env) error {
			env.Setenv("BEI", filepath.Join(data, "utm_nominal"))
			for link, to := range map[string]string{"testdata/bei": data, "build/averholt": invented} {
				link = filepath.Join(env.WorkDir, filepath.FromSlash(link))
				if err := os.MkdirAll(filepath.Dir(link), 0o755); err != nil {
					return err
				}
				if err := os.Symlink(to, link); err != nil {
					return err
				}
			}
			return os.CopyFS(filepath.Join(env.WorkDir, "plot"), os.DirFS(filepath.Join(data, "utm_nominal")))
		},
		Cmds: map[string]func(*testscript.TestScript, bool, []string){
			"exits": exits, "json": validJSON, "same": sameFolders,
		},
	})
}

// exits runs a command and holds its exit status: exits 4 tussock check.
func exits(ts *testscript.TestScript, _ bool, args []string) {
	want, err := strconv.Atoi(args[0])
	ts.Check(err)
	code := 0
	if err := ts.Exec(args[1], args[2:]...); err != nil {
		var exit *exec.ExitError
		if !errors.As(err, &exit) {
			ts.Fatalf("%v", err)
		}
		code = exit.ExitCode()
	}
	if code != want {
		ts.Fatalf("exit status %d, not %d\n%s", code, want, ts.ReadFile("stderr"))
	}
}

// validJSON holds that a file, or stdout or stderr, is JSON values one a line:
// json stdout, or json stdout 2 for so many.
func validJSON(ts *testscript.TestScript, _ bool, args []string) {
	text := strings.TrimSuffix(ts.ReadFile(args[0]), "\n")
	lines := strings.Split(text, "\n")
	for _, line := range lines {
		if !json.Valid([]byte(line)) {
			ts.Fatalf("%s: not JSON: %s", args[0], line)
		}
	}
	if len(args) > 1 && strconv.Itoa(len(lines)) != args[1] {
		ts.Fatalf("%s: %d lines of JSON, not %s", args[0], len(lines), args[1])
	}
}

// sameFolders holds that two folders have the same published files.
func sameFolders(ts *testscript.TestScript, neg bool, args []string) {
	a, err := hashes(ts.MkAbs(args[0]))
	ts.Check(err)
	b, err := hashes(ts.MkAbs(args[1]))
	ts.Check(err)
	if differ := differences(a, b); (len(differ) > 0) != neg {
		ts.Fatalf("%s and %s: %q", args[0], args[1], differ)
	}
}
