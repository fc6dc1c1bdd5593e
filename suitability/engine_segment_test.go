package suitability

import (
	"bytes"
	"context"
	"errors"
	"os"
	"strings"
	"testing"
)

// TestBrokenSegments breaks one segment in every way and holds that reduce
// names its block and shard, publishes nothing of that species, and that a
// second run mends exactly it.
func TestBrokenSegments(t *testing.T) {
	t.Parallel()
	whole := smallJob(t)
	work(t, whole)
	want := publishedFiles(t, whole)
	for name, harm := range map[string]func(path string, raw []byte) error{
		"missing":   func(path string, _ []byte) error { return os.Remove(path) },
		"empty":     func(path string, _ []byte) error { return os.WriteFile(path, nil, 0o666) },
		"truncated": func(path string, raw []byte) error { return os.WriteFile(path, raw[:len(raw)*2/3], 0o666) },
		"one bit":   func(path string, raw []byte) error { raw[len(raw)/2] ^= 4; return os.WriteFile(path, raw, 0o666) },
		"too long":  func(path string, raw []byte) error { return os.WriteFile(path, append(raw, 0), 0o666) },
		"not ours":  func(path string, _ []byte) error { return os.WriteFile(path, bytes.Repeat([]byte("text "), 99), 0o666) },
	} {
		t.Run(name, func(t *testing.T) { breakSegment(t, harm, want) })
	}
}

func breakSegment(t *testing.T, harm func(string, []byte) error, want map[string]string) {
	ctx := context.Background()
	j := smallJob(t)
	p, err := j.Plan(512, 3) // 6 blocks: two to a shard
	if err != nil {
		t.Fatal(err)
	}
	for shard := range 3 {
		if err := p.Run(ctx, shard, RunOptions{Workers: 2}); err != nil {
			t.Fatal(err)
		}
	}
	path := p.segmentPath(p.Tasks[1].Key, p.block(3))
	raw, err := os.ReadFile(path)
	if err == nil {
		err = harm(path, raw)
	}
	if err != nil {
		t.Fatal(err)
	}
	_, err = p.Reduce(ctx, RunOptions{Workers: 1})
	if !errors.Is(err, ErrIncomplete) {
		t.Fatalf("reduce says %v", err)
	}
	for _, words := range []string{"species moth", "block 4 of 6", "shard 2 of 3"} {
		if !strings.Contains(err.Error(), words) {
			t.Errorf("%q does not say %q", err, words)
		}
	}
	for name := range publishedFiles(t, j) {
		if strings.HasPrefix(name, "surfaces/moth/") || name == CatalogueName {
			t.Errorf("%s was published", name)
		}
	}
	sound, err := os.Stat(p.segmentPath(p.Tasks[1].Key, p.block(2)))
	if err != nil {
		t.Fatal(err)
	}
	if err := p.Run(ctx, 1, RunOptions{}); err != nil {
		t.Fatal(err)
	}
	if now, err := os.Stat(p.segmentPath(p.Tasks[1].Key, p.block(2))); err != nil || !now.ModTime().Equal(sound.ModTime()) {
		t.Errorf("a sound segment was computed again: %v", err)
	}
	if _, err := p.Reduce(ctx, RunOptions{}); err != nil {
		t.Fatal(err)
	}
	sameFiles(t, "mended", publishedFiles(t, j), want)
}

// A segment with a right checksum whose tiles lie nowhere must not be believed.
func TestSegmentOfAnotherGrid(t *testing.T) {
	for _, tile := range []segmentTile{
		{Plane: ClassPlane, Col: 1 << 30, Row: 1 << 30}, {Plane: ClassPlane, Level: 1, Col: 99}, {Plane: 77}, {Plane: ClassPlane, Row: 1<<32 - 1},
	} {
		j := smallJob(t)
		p, err := j.Plan(512, 1)
		if err == nil {
			err = p.Run(context.Background(), 0, RunOptions{Workers: 2})
		}
		if err == nil {
			err = writeSegment(p.segmentPath(p.Tasks[0].Key, p.block(0)), segment{Tiles: []segmentTile{tile}})
		}
		if err != nil {
			t.Fatal(err)
		}
		if _, err := p.Reduce(context.Background(), RunOptions{}); err == nil {
			t.Errorf("%+v was believed", tile)
		}
	}
}

// encode is a segment's file.
func (s segment) encode() []byte {
	var b bytes.Buffer
	s.writeTo(&b)
	return b.Bytes()
}

func FuzzSegment(f *testing.F) {
	s := segment{Tiles: []segmentTile{{Plane: ClassPlane, Col: 3, Data: []byte("tile")}, {Level: 1, Row: 2}}}
	f.Add(s.encode())
	f.Add([]byte(segmentMagic + "\xff\xff\xff\xff"))
	f.Fuzz(func(t *testing.T, raw []byte) {
		got, err := decodeSegment(raw)
		if err == nil && !bytes.Equal(got.encode(), raw) {
			t.Errorf("a segment of %d bytes is written back in another way", len(raw))
		}
	})
}
