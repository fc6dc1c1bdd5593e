package project

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
)

// Problem is one mistake in a project file, or one thing to know about it.
type Problem struct {
	File    string `json:"file"`
	Line    int    `json:"line,omitempty"`   // from 1; 0 where it is about the file as a whole
	Column  int    `json:"column,omitempty"` // in characters, from 1
	Path    string `json:"path,omitempty"`   // within the file, such as layers.cover.source
	Message string `json:"message"`
	Hint    string `json:"hint,omitempty"`
	Excerpt string `json:"excerpt,omitempty"` // the line, and a caret under the place
}

// Error is the problem as file:line:column: message, an excerpt and a hint.
func (p Problem) Error() string {
	var b strings.Builder
	b.WriteString(p.place() + ": " + p.Message)
	if p.Excerpt != "" {
		b.WriteString("\n" + p.Excerpt)
	}
	if p.Hint != "" {
		b.WriteString("\n  hint: " + p.Hint)
	}
	return b.String()
}

// Problems are all mistakes of a project, by file and line.
type Problems []Problem

func (p Problems) Error() string {
	texts := make([]string, len(p))
	for i := range p {
		texts[i] = p[i].Error()
	}
	return strings.Join(texts, "\n")
}

func (p Problems) sort() {
	slices.SortStableFunc(p, func(a, b Problem) int {
		return cmp.Or(cmp.Compare(a.File, b.File), cmp.Compare(a.Line, b.Line), cmp.Compare(a.Column, b.Column))
	})
}

// mostProblems bounds what a file of nothing but mistakes can print.
const mostProblems = 1000

// report gathers the problems of all files of a project.
type report struct {
	problems Problems
	warnings Problems
	more     int
	seen     map[string]bool // file and path of every problem
}

func newReport() *report { return &report{seen: map[string]bool{}} }

func (r *report) add(p Problem) {
	r.seen[p.File+"\x00"+p.Path] = true
	if len(r.problems) == mostProblems {
		r.more++
		return
	}
	r.problems = append(r.problems, p)
}

// count is how many problems there were so far.
func (r *report) count() int { return len(r.problems) + r.more }

// has tells whether something was said about a place already.
func (r *report) has(file, path string) bool { return r.seen[file+"\x00"+path] }

// err is all problems, sorted, or nil.
func (r *report) err() error {
	if len(r.problems) == 0 {
		return nil
	}
	all := slices.Clone(r.problems)
	all.sort()
	if r.more > 0 {
		all = append(all, Problem{File: all[len(all)-1].File, Message: fmt.Sprintf("and %d more mistakes", r.more)})
	}
	return all
}

// place is where the problem is, as file:line:column.
func (p Problem) place() string {
	if p.Line == 0 {
		return p.File
	}
	return fmt.Sprintf("%s:%d:%d", p.File, p.Line, p.Column)
}
