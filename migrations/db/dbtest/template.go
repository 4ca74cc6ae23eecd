package dbtest

import (
	"context"
	"crypto/sha256"
	"database/sql"
	"encoding/hex"
	"errors"
	"fmt"
	"io/fs"
	"net/url"
	"os"
	"path/filepath"
	"sync"
	"testing"

	"ovenward/migrations"
	"ovenward/migrations/db"
)

// A new database is a copy of one that has the schema already: running all
// migrations for each test took more time than the tests themselves.

// newFile makes a SQLite file with the current schema and returns its name for
// db.Open.
func newFile(t testing.TB) string {
	t.Helper()
	image, err := fileTemplate()
	if err != nil {
		t.Fatalf("the template of test databases: %v", err)
	}
	name := filepath.Join(t.TempDir(), "test.db")
	if err := os.WriteFile(name, image, 0o600); err != nil {
		t.Fatal(err)
	}
	return "sqlite:" + name
}

// fileTemplate returns the bytes of a SQLite file with the current schema.
var fileTemplate = sync.OnceValues(func() (image []byte, err error) {
	folder, err := os.MkdirTemp("", "ovenward-template")
	if err != nil {
		return nil, err
	}
	defer func() { err = errors.Join(err, os.RemoveAll(folder)) }()
	name := filepath.Join(folder, "template.db")
	if err := migrated("sqlite:" + name); err != nil {
		return nil, err
	}
	return os.ReadFile(name)
})

func migrated(dsn string) error {
	d, err := db.Open(context.Background(), dsn)
	if err != nil {
		return err
	}
	return d.Close()
}

// Prepared makes a new database with the current schema on the test server and
// returns its name for db.Open. It is dropped when the test ends.
func Prepared(t testing.TB) string {
	t.Helper()
	template, err := serverTemplate()
	if err != nil {
		t.Fatalf("the template of test databases: %v", err)
	}
	return newDatabase(t, " TEMPLATE "+template)
}

// serverTemplate returns the name of a database with the current schema, from
// which the server copies. It stays on the server for the tests of other
// packages; its name changes with the migrations.
var serverTemplate = sync.OnceValues(func() (name string, err error) {
	server, err := serverURL()
	if err != nil {
		return "", err
	}
	hash, err := schemaHash()
	if err != nil {
		return "", err
	}
	name = "template_" + hash
	return name, buildTemplate(context.Background(), server, name)
})

func schemaHash() (string, error) {
	h := sha256.New()
	err := fs.WalkDir(migrations.Files, ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		text, err := fs.ReadFile(migrations.Files, name)
		fmt.Fprintln(h, name, len(text))
		h.Write(text)
		return err
	})
	return hex.EncodeToString(h.Sum(nil)[:12]), err
}

// buildTemplate makes the template unless it is there. Packages are tested side
// by side, so one connection's lock lets the others wait, and the name is given
// last: what has it is whole.
func buildTemplate(ctx context.Context, server *url.URL, name string) (err error) {
	pool, err := sql.Open("postgres", server.String())
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, pool.Close()) }()
	c, err := pool.Conn(ctx)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, c.Close()) }() // and with it the lock
	if _, err := c.ExecContext(ctx, `SELECT pg_advisory_lock(hashtext($1))`, name); err != nil {
		return err
	}
	var n int
	err = c.QueryRowContext(ctx, `SELECT count(*) FROM pg_database WHERE datname = $1`, name).Scan(&n)
	if err != nil || n > 0 {
		return err
	}
	half := name + "_half"
	for _, statement := range []string{"DROP DATABASE IF EXISTS " + half, "CREATE DATABASE " + half} {
		if _, err := c.ExecContext(ctx, statement); err != nil {
			return err
		}
	}
	at := *server
	at.Path = "/" + half
	if err := migrated(at.String()); err != nil {
		return err
	}
	_, err = c.ExecContext(ctx, "ALTER DATABASE "+half+" RENAME TO "+name)
	return err
}
