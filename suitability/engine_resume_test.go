package suitability

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"sync/atomic"
	"testing"
)

// TestStoppedAndResumed cancels a run in the middle and another in reduce: what
// was begun is finished, and going on gives the bytes of an unbroken run.
func TestStoppedAndResumed(t *testing.T) {
	whole := smallJob(t)
	work(t, whole)
	j := smallJob(t)
	p, err := j.Plan(512, 1)
	if err != nil {
		t.Fatal(err)
	}
	stopAfter := func(stage string, n int32) (context.Context, RunOptions) {
		ctx, stop := context.WithCancel(context.Background())
		var done atomic.Int32
		return ctx, RunOptions{Workers: 1, Progress: func(at Progress) {
			if at.Stage == stage && done.Add(1) == n {
				stop()
			}
		}}
	}
	ctx, o := stopAfter("cells", 2)
	if err := p.Run(ctx, 0, o); !errors.Is(err, context.Canceled) {
		t.Fatalf("a stopped run says %v", err)
	}
	if segments, _ := filepath.Glob(filepath.Join(p.workFolder(p.Tasks[0].Key), "*.seg")); len(segments) < 2 || len(segments) > 3 {
		t.Errorf("%d segments after a stop in the second block of six", len(segments))
	}
	if err := p.Run(context.Background(), 0, RunOptions{}); err != nil {
		t.Fatal(err)
	}
	for _, stage := range []string{"surfaces", "count"} {
		ctx, o = stopAfter(stage, 1)
		if _, err := p.Reduce(ctx, o); !errors.Is(err, context.Canceled) {
			t.Fatalf("a reduce stopped at %s says %v", stage, err)
		}
	}
	if _, err := p.Reduce(context.Background(), RunOptions{}); err != nil {
		t.Fatal(err)
	}
	sameFiles(t, "resumed", publishedFiles(t, j), publishedFiles(t, whole))
}

// A straggler that ends after others have published and tidied up is no error,
// and leaves nothing behind.
func TestStragglerAfterTheEnd(t *testing.T) {
	j := smallJob(t)
	late, err := j.Plan(512, 1)
	if err != nil {
		t.Fatal(err)
	}
	work(t, j)
	want := publishedFiles(t, j)
	if err := late.Run(context.Background(), 0, RunOptions{}); err != nil {
		t.Error(err)
	}
	if err := late.runTasks(late.block(0), 1, []int{0, 1}); err != nil { // was already at work
		t.Error(err)
	}
	if _, err := late.Reduce(context.Background(), RunOptions{}); err != nil {
		t.Error(err)
	}
	sameFiles(t, "after the straggler", publishedFiles(t, j), want)
}

// What a killed run left half written goes once the surface stands.
func TestHalvesOfKilledRunsAreRemoved(t *testing.T) {
	j := smallJob(t)
	p, err := j.Plan(512, 1)
	if err != nil {
		t.Fatal(err)
	}
	half := filepath.Join(j.Folder, "surfaces", "moth", fmt.Sprintf(".moth-class-%s.tif.999-0.tmp", p.Tasks[1].Key[:12]))
	if err := errors.Join(os.MkdirAll(filepath.Dir(half), 0o777), os.WriteFile(half, []byte("half"), 0o666)); err != nil {
		t.Fatal(err)
	}
	work(t, j)
	for name := range publishedFiles(t, j) {
		if strings.HasPrefix(filepath.Base(name), ".") {
			t.Errorf("%s is left", name)
		}
	}
}
