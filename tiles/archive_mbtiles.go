package tiles

import (
	"context"
	"database/sql"
	"fmt"
	"net/url"
	"os"
	"path/filepath"
	"strconv"
	"strings"

	_ "modernc.org/sqlite" // the driver "sqlite", in pure Go

	"tussock/layers"
)

// mbtilesSchema follows MBTiles 1.3 with its application id, "MPBX". Tiles is a
// view over images that are stored once, as the specification allows. No journal:
// the file has no readers before it is complete.
const mbtilesSchema = `
PRAGMA journal_mode = OFF;
PRAGMA synchronous = OFF;
PRAGMA application_id = 0x4d504258;
CREATE TABLE metadata (name text NOT NULL PRIMARY KEY, value text NOT NULL) WITHOUT ROWID;
CREATE TABLE images (tile_id integer NOT NULL PRIMARY KEY, tile_data blob NOT NULL);
CREATE TABLE map (zoom_level integer NOT NULL, tile_column integer NOT NULL, tile_row integer NOT NULL,
  tile_id integer NOT NULL, PRIMARY KEY (zoom_level, tile_column, tile_row)) WITHOUT ROWID;
CREATE VIEW tiles AS SELECT zoom_level, tile_column, tile_row, tile_data FROM map JOIN images USING (tile_id);`

// writeMBTiles stores tiles as an MBTiles archive, version 1.3: rows counted
// from the south. The same tiles give the same bytes.
func writeMBTiles(ctx context.Context, path string, tiles *spool, about label) error {
	return layers.PublishFile(path, func(f *os.File) error {
		if err := fillMBTiles(ctx, f.Name(), tiles, about); err != nil {
			return fmt.Errorf("tiles: %s: %w", path, err)
		}
		return nil
	})
}

func fillMBTiles(ctx context.Context, path string, tiles *spool, about label) error {
	full, err := filepath.Abs(path)
	if err != nil {
		return err
	}
	db, err := sql.Open("sqlite", "file:"+(&url.URL{Path: filepath.ToSlash(full)}).EscapedPath())
	if err != nil {
		return err
	}
	defer db.Close()
	db.SetMaxOpenConns(1) // settings belong to the connection
	if _, err := db.ExecContext(ctx, mbtilesSchema); err != nil {
		return err
	}
	tx, err := db.BeginTx(ctx, nil)
	if err != nil {
		return err
	}
	defer tx.Rollback()
	if err := insertMetadata(ctx, tx, about); err != nil {
		return err
	}
	if err := insertTiles(ctx, tx, tiles); err != nil {
		return err
	}
	if err := tx.Commit(); err != nil {
		return err
	}
	return db.Close()
}

func insertMetadata(ctx context.Context, tx *sql.Tx, about label) error {
	middle, zoom := about.middle()
	b := about.bound
	degrees := func(values ...float64) string {
		var parts []string
		for _, v := range values {
			parts = append(parts, numberText(v))
		}
		return strings.Join(parts, ",")
	}
	rows := [][2]string{
		{"name", about.Name}, {"format", "png"},
		{"bounds", degrees(b.Min[0], b.Min[1], b.Max[0], b.Max[1])},
		{"center", degrees(middle[0], middle[1]) + "," + strconv.Itoa(zoom)},
		{"minzoom", strconv.Itoa(about.min)}, {"maxzoom", strconv.Itoa(about.max)},
		{"attribution", about.Attribution}, {"description", about.Description},
		{"type", "overlay"}, {"version", about.Version}, {"audience", about.audience.String()},
	}
	for _, row := range rows {
		if row[1] == "" {
			continue
		}
		if _, err := tx.ExecContext(ctx, "INSERT INTO metadata VALUES (?, ?)", row[0], row[1]); err != nil {
			return err
		}
	}
	return nil
}

func insertTiles(ctx context.Context, tx *sql.Tx, tiles *spool) error {
	image, err := tx.PrepareContext(ctx, "INSERT INTO images VALUES (?, ?)")
	if err != nil {
		return err
	}
	defer image.Close()
	place, err := tx.PrepareContext(ctx, "INSERT INTO map VALUES (?, ?, ?, ?)")
	if err != nil {
		return err
	}
	defer place.Close()
	return tiles.each(ctx, func(e entry) error {
		if e.first {
			if _, err := image.ExecContext(ctx, e.content, e.data); err != nil {
				return err
			}
		}
		_, err := place.ExecContext(ctx, e.tile.Z, e.tile.X, e.tile.RowFromSouth(), e.content)
		return err
	})
}
