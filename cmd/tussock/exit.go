package main

import (
	"context"
	"errors"
	"io/fs"

	"tussock/layers"
	"tussock/suitability/project"
)

// The exit codes. Code 2 is left to Go's own crash.
const (
	exitDone        = 0
	exitFailed      = 1
	exitDegraded    = 3
	exitUsage       = 4
	exitInput       = 5
	exitExists      = 6
	exitDiffers     = 7
	exitInterrupted = 130
)

const exitHelp = `
Exit status: 0 done; 1 failed; 3 finished, but inputs were skipped or degraded;
4 wrong usage or project file; 5 an input is missing or unreadable; 6 the output
exists; 7 a check found differences; 130 interrupted.`

// codedError carries the exit code that an error deserves, and what to do next.
type codedError struct {
	code int
	err  error
	hint string
}

func (e *codedError) Error() string { return e.err.Error() }
func (e *codedError) Unwrap() error { return e.err }

func usage(err error, hint string) error    { return &codedError{exitUsage, err, hint} }
func existing(err error, hint string) error { return &codedError{exitExists, err, hint} }

// codeOf maps an error to an exit code.
func codeOf(err error) int {
	var coded *codedError
	var problems project.Problems
	var source *layers.SourceError
	var class *layers.UnknownClassError
	switch {
	case err == nil:
		return exitDone
	case errors.As(err, &coded):
		return coded.code
	case errors.Is(err, context.Canceled):
		return exitInterrupted
	case errors.As(err, &problems), errors.As(err, &class):
		return exitUsage
	case errors.As(err, &source), errors.Is(err, fs.ErrNotExist), errors.Is(err, fs.ErrPermission):
		return exitInput
	default:
		return exitFailed
	}
}

func hintOf(err error) string {
	var coded *codedError
	if errors.As(err, &coded) {
		return coded.hint
	}
	return ""
}
