package db_test

import (
	"context"
	"fmt"
	"io"
	"os"
	"os/exec"
	"testing"

	"github.com/jmoiron/sqlx"

	"ovenward/migrations/db"
)

// Some rules are about several programs on one database, so this test binary
// also plays the other programs: with childRole set it does one job and ends.
const (
	childRole = "OVENWARD_DB_TEST_ROLE"
	childDSN  = "OVENWARD_DB_TEST_DSN"
)

func TestMain(m *testing.M) {
	if role := os.Getenv(childRole); role != "" {
		if err := play(role, os.Getenv(childDSN)); err != nil {
			fmt.Fprintln(os.Stderr, err)
			os.Exit(1)
		}
		return
	}
	os.Exit(m.Run())
}

// command returns a child that will play role on the database.
func command(t testing.TB, role, dsn string) *exec.Cmd {
	t.Helper()
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	c := exec.CommandContext(t.Context(), self)
	c.Env = append(os.Environ(), childRole+"="+role, childDSN+"="+dsn,
		"GORACE=atexit_sleep_ms=0") // the race detector would sleep 1 s at every child's end
	return c
}

func play(role, dsn string) error {
	ctx := context.Background()
	d, err := db.Open(ctx, dsn, db.WithMigrations(manySteps()))
	if err != nil {
		return err
	}
	defer d.Close()
	switch role {
	case "open":
		return nil
	case "commit":
		return commitForEver(ctx, d, os.Stdout)
	case "write":
		return d.Write(ctx, insertOne(1))
	}
	return fmt.Errorf("%s=%q: unknown role", childRole, role)
}

// commitForEver prints each number after the commit that stored it.
func commitForEver(ctx context.Context, d *db.DB, out io.Writer) error {
	for {
		var id int64
		err := d.Write(ctx, func(tx *sqlx.Tx) error {
			if err := tx.Get(&id, `SELECT coalesce(max(id), 0) + 1 FROM number`); err != nil {
				return err
			}
			if err := insertOne(id)(tx); err != nil {
				return err
			}
			_, err := tx.Exec(`INSERT INTO mirror (id) VALUES ($1)`, id)
			return err
		})
		if err != nil {
			return err
		}
		fmt.Fprintln(out, id)
	}
}

// manySteps is a schema of three files, so that a race has something to tear.
func manySteps() stepFiles {
	return schema(
		"CREATE TABLE number (id BIGINT NOT NULL PRIMARY KEY, n BIGINT)",
		"CREATE TABLE mirror (id BIGINT NOT NULL PRIMARY KEY)",
		"CREATE INDEX number_n ON number (n)",
	)
}
