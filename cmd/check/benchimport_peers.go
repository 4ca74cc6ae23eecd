package main

import (
	"bufio"
	"context"
	"database/sql"
	"errors"
	"fmt"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"ovenward/inventory/measure"
	"ovenward/migrations/db/dbtest"
)

const (
	importSite  = "main"
	importOvens = 12
)

func oven(i int) string { return fmt.Sprintf("H%d", i+1) }

// importNoted is when the peers' readings came in, which ours are given too: in
// 2025, so that it takes as much room.
const importNoted = 1_750_000_000_000_000

// writeReadings writes the same readings twice: as a logger does, with local
// times and degrees, one row an oven and minute, and as the rows of the table,
// which are all that the engines' own loaders understand.
func writeReadings(log, raw string, rows int) (err error) {
	files := make([]*bufio.Writer, 2)
	for i, name := range []string{log, raw} {
		f, err := os.Create(name)
		if err != nil {
			return err
		}
		defer f.Close()
		files[i] = bufio.NewWriter(f)
	}
	fmt.Fprintln(files[0], "time,temp (C),oven")
	start := time.Date(2025, 6, 5, 0, 0, 0, 0, time.UTC)
	for i := range rows {
		at, tenths := start.Add(time.Duration(i/importOvens)*time.Minute), 1200+(7*i)%100
		temp := measure.Temperature(tenths) * measure.Degree / 10
		fmt.Fprintf(files[0], "%s,%d.%d,%s\n", at.Format(time.DateTime), tenths/10, tenths%10, oven(i%importOvens))
		fmt.Fprintf(files[1], "%s,%s,%d,%d,%d\n", importSite, oven(i%importOvens), at.UnixMicro(), temp, importNoted)
	}
	return errors.Join(files[0].Flush(), files[1].Flush())
}

// peers finds both engines' own loaders.
func (b *importBench) peers(ctx context.Context) ([]importPeer, error) {
	sqlite, err := b.sqlitePeer(ctx)
	if err != nil {
		return nil, err
	}
	postgres, err := b.postgresPeer(ctx)
	return []importPeer{sqlite, postgres}, err
}

func (b *importBench) sqlitePeer(ctx context.Context) (importPeer, error) {
	const tool = "sqlite3"
	if _, err := exec.LookPath(tool); err != nil {
		if err := b.aptInstall(ctx, "SQLite's own tool", tool); err != nil {
			return importPeer{}, err
		}
	}
	file := filepath.Join(b.folder, "bench.db")
	return importPeer{
		name: "sqlite", tool: tool + " .import",
		dsn: func(context.Context) (string, error) { return "sqlite:" + file, nil },
		load: func(ctx context.Context, _ string) (*exec.Cmd, error) {
			return b.command(ctx, tool, "-bail", file, "-cmd", "PRAGMA synchronous = FULL",
				fmt.Sprintf(".import --csv %q reading", b.raw)), nil
		},
		drop: func(context.Context, string) error {
			return errors.Join(os.Remove(file), ifThere(os.Remove(file+"-wal")), ifThere(os.Remove(file+"-shm")))
		},
	}, nil
}

func ifThere(err error) error {
	if errors.Is(err, os.ErrNotExist) {
		return nil
	}
	return err
}

func (b *importBench) postgresPeer(ctx context.Context) (importPeer, error) {
	bin, err := b.needPostgres(ctx)
	if err != nil {
		return importPeer{}, err
	}
	server := b.setting(dbtest.ServerVariable)
	admin := func(ctx context.Context, statement string) error {
		d, err := sql.Open("postgres", server)
		if err != nil {
			return err
		}
		defer d.Close()
		_, err = d.ExecContext(ctx, statement)
		return err
	}
	const name = "ovenward_bench"
	return importPeer{
		name: "postgres", tool: `psql \copy`,
		dsn: func(ctx context.Context) (string, error) {
			if err := admin(ctx, "DROP DATABASE IF EXISTS "+name+" WITH (FORCE)"); err != nil {
				return "", err
			}
			u, err := url.Parse(server)
			if err != nil {
				return "", err
			}
			u.Path = "/" + name
			return u.String(), admin(ctx, "CREATE DATABASE "+name)
		},
		load: func(ctx context.Context, dsn string) (*exec.Cmd, error) {
			return b.command(ctx, filepath.Join(bin, "psql"), "--no-psqlrc", "-v", "ON_ERROR_STOP=1", dsn, "-c",
				fmt.Sprintf(`\copy reading (site, sensor, at_us, temp_k, noted_us) FROM '%s' WITH (FORMAT csv)`, b.raw)), nil
		},
		drop: func(ctx context.Context, _ string) error {
			return admin(ctx, "DROP DATABASE "+name+" WITH (FORCE)")
		},
	}, nil
}

// setting returns what an environment variable is for the programs that are
// started.
func (c *check) setting(key string) string {
	for _, e := range slices.Backward(c.env) {
		if value, ok := strings.CutPrefix(e, key+"="); ok {
			return value
		}
	}
	return ""
}
