package main

import (
	"encoding/json"
	"fmt"
	"io"
	"os"
	"sync"
	"time"

	"tussock/suitability"
)

// progress tells how far long work has come: a line that is written over on a
// terminal, else a line at the start, one now and then, and one at the end.
// With --json it is JSON lines.
type progress struct {
	mu       sync.Mutex
	out      io.Writer
	json     bool
	terminal bool
	stage    string
	start    time.Time
	last     time.Time // of the last line
	seen     time.Time // of the last report; a stage begins where the one before ends
}

func (a *app) progress() func(suitability.Progress) {
	if a.quiet {
		return nil
	}
	p := &progress{out: a.err, json: a.json, seen: time.Now()}
	if f, ok := a.err.(*os.File); ok {
		info, err := f.Stat()
		p.terminal = err == nil && info.Mode()&os.ModeCharDevice != 0
	}
	return p.report
}

func (p *progress) report(now suitability.Progress) {
	p.mu.Lock()
	defer p.mu.Unlock()
	at := time.Now()
	if now.Stage != p.stage {
		p.stage, p.start, p.last = now.Stage, p.seen, time.Time{}
	}
	p.seen = at
	wait := 10 * time.Second
	if p.terminal {
		wait = 200 * time.Millisecond
	}
	ended := now.Done == now.Total
	if !ended && at.Sub(p.last) < wait {
		return
	}
	p.last = at
	p.write(now, at.Sub(p.start), ended)
}

func (p *progress) write(now suitability.Progress, took time.Duration, ended bool) {
	if p.json {
		json.NewEncoder(p.out).Encode(map[string]any{"stage": now.Stage, "done": now.Done, "total": now.Total, "seconds": took.Seconds()})
		return
	}
	line := fmt.Sprintf("%s %d of %d", now.Stage, now.Done, now.Total)
	switch {
	case ended:
		line += fmt.Sprintf(" in %s", took.Round(100*time.Millisecond))
	case now.Done > 0:
		left := time.Duration(float64(took) / float64(now.Done) * float64(now.Total-now.Done))
		line += fmt.Sprintf(", about %s left", left.Round(time.Second))
	}
	if p.terminal {
		fmt.Fprintf(p.out, "\r\033[K%s", line)
		if ended {
			fmt.Fprintln(p.out)
		}
		return
	}
	fmt.Fprintln(p.out, line)
}
