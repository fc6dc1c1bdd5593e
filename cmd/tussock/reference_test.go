package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

func commands(c *cobra.Command) []*cobra.Command {
	list := []*cobra.Command{c}
	for _, below := range c.Commands() {
		if below.Name() != "help" && below.Name() != "completion" {
			list = append(list, commands(below)...)
		}
	}
	return list
}

// TestReferenceNamesEverything holds that each command says what it does, ends
// with its exit status, shows an example, and that its page lists every flag.
func TestReferenceNamesEverything(t *testing.T) {
	folder := t.TempDir()
	var a app
	root := a.rootCommand()
	if err := writePages(root, "markdown", folder); err != nil {
		t.Fatal(err)
	}
	for _, c := range commands(root) {
		name := c.CommandPath()
		if !strings.HasSuffix(c.Long, exitHelp) {
			t.Errorf("%s: the help does not end with the exit status", name)
		}
		if c != root && !strings.Contains(c.Example, name) {
			t.Errorf("%s: no example", name)
		}
		if strings.TrimSpace(c.Short) == "" || strings.HasSuffix(c.Short, ".") {
			t.Errorf("%s: the short help is no phrase: %q", name, c.Short)
		}
		raw, err := os.ReadFile(filepath.Join(folder, strings.ReplaceAll(name, " ", "_")+".md"))
		if err != nil {
			t.Fatal(err)
		}
		c.Flags().VisitAll(func(f *pflag.Flag) {
			if !strings.Contains(string(raw), "--"+f.Name) || f.Usage == "" {
				t.Errorf("%s: the page does not explain --%s", name, f.Name)
			}
		})
	}
}

// TestExamplesAreScripts holds that every example of the help is run by a
// script, word for word.
func TestExamplesAreScripts(t *testing.T) {
	scripts := allScripts(t)
	var a app
	for _, c := range commands(a.rootCommand()) {
		for _, line := range strings.Split(c.Example, "\n") {
			line = strings.TrimSpace(line)
			if line != "" && !strings.Contains(scripts, " "+line+"\n") {
				t.Errorf("%s: no script runs the example `%s`", c.CommandPath(), line)
			}
		}
	}
}

func allScripts(t *testing.T) string {
	t.Helper()
	paths, err := filepath.Glob("testdata/scripts/*.txtar")
	if err != nil || len(paths) == 0 {
		t.Fatal(paths, err)
	}
	var all strings.Builder
	for _, path := range paths {
		raw, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		all.Write(raw)
	}
	return all.String()
}
