package db_test

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"github.com/jmoiron/sqlx"

	"ovenward/migrations/db"
	"ovenward/migrations/db/dbtest"
)

// racers is the number of programs that start together. On SQLite, where goose
// has no lock, they do so raceRounds times; PostgreSQL takes 50 ms to make each
// new database and has a lock of its own, so 10 rounds do.
const racers, postgresRounds = 4, 10

func TestStartsThatRaceToMigrateAllSucceed(t *testing.T) {
	t.Parallel()
	t.Run("sqlite", func(t *testing.T) {
		for i := range raceRounds {
			dir := t.TempDir()
			race(t, "sqlite:"+filepath.Join(dir, "new.db"))
			if left, _ := filepath.Glob(filepath.Join(dir, "*.lock")); len(left) > 0 {
				t.Errorf("round %d: lock file left behind: %v", i, left)
			}
		}
	})
	t.Run("postgres", func(t *testing.T) {
		for range postgresRounds {
			race(t, dbtest.Server(t))
		}
	})
}

// race starts the children together and checks that each file ran once.
func race(t *testing.T, dsn string) {
	t.Helper()
	var wg sync.WaitGroup
	for range racers {
		c := command(t, "open", dsn)
		wg.Go(func() {
			if out, err := c.CombinedOutput(); err != nil {
				t.Errorf("a start that raced: %v: %s", err, bytes.TrimSpace(out))
			}
		})
	}
	wg.Wait()
	d := dbtest.Open(t, dsn, db.WithMigrations(manySteps()))
	var steps int
	get(t, d, &steps, `SELECT count(*) FROM schema_version WHERE version > 0`)
	if steps != 3 {
		t.Errorf("%d steps recorded, want 3", steps)
	}
	insert(t, d, 1, 1)
}

func TestMigrationsRunOnceAndContinue(t *testing.T) {
	t.Parallel()
	first, second := "CREATE TABLE number (id BIGINT NOT NULL PRIMARY KEY, n BIGINT)", "ALTER TABLE number ADD note TEXT"
	for _, dsn := range bothDSNs(t) {
		d := dbtest.Open(t, dsn, db.WithMigrations(schema(first)))
		insert(t, d, 1, 10)
		d = dbtest.Open(t, dsn, db.WithMigrations(schema(first, second)))
		write(t, d, `UPDATE number SET note = 'kept' WHERE id = 1`)
		d = dbtest.Open(t, dsn, db.WithMigrations(schema(first, second)))
		var got struct {
			N    int64
			Note string
		}
		get(t, d, &got, `SELECT n, note FROM number WHERE id = 1`)
		if got.N != 10 || got.Note != "kept" {
			t.Errorf("%s: row after two migrations: %+v", d, got)
		}
	}
}

func TestFailedMigrationLeavesNothing(t *testing.T) {
	t.Parallel()
	good, bad := "CREATE TABLE number (id BIGINT NOT NULL PRIMARY KEY, n BIGINT)", "CREATE TABLE torn (id BIGINT);\nINSERT INTO nowhere VALUES (1)"
	for _, dsn := range bothDSNs(t) {
		_, err := db.Open(t.Context(), dsn, db.WithMigrations(schema(good, bad)))
		if err == nil || !strings.Contains(err.Error(), "nowhere") {
			t.Errorf("error %v, want one that names the missing table", err)
		}
		d := dbtest.Open(t, dsn, db.WithMigrations(schema(good)))
		err = d.Read(t.Context(), func(tx *sqlx.Tx) error {
			var n int64
			return tx.Get(&n, `SELECT count(*) FROM torn`)
		})
		if err == nil {
			t.Errorf("%s: a failed migration left its table", d)
		}
	}
}

func TestNewerSchemaIsRefusedNamingBothVersions(t *testing.T) {
	t.Parallel()
	for _, dsn := range bothDSNs(t) {
		dbtest.Open(t, dsn, db.WithMigrations(manySteps()))
		_, err := db.Open(t.Context(), dsn, withNumbers)
		if !errors.Is(err, db.ErrNewerSchema) {
			t.Fatalf("error %v, want %v", err, db.ErrNewerSchema)
		}
		for _, want := range []string{"schema 3", "up to 1", "newer ovenward"} {
			if !strings.Contains(err.Error(), want) {
				t.Errorf("error %q does not say %q", err, want)
			}
		}
	}
}

func TestChangedMigrationFileIsRefused(t *testing.T) {
	t.Parallel()
	for _, dsn := range bothDSNs(t) {
		dbtest.Open(t, dsn, withNumbers)
		_, err := db.Open(t.Context(), dsn, db.WithMigrations(schema("CREATE TABLE number (id BIGINT)")))
		if !errors.Is(err, db.ErrOtherSchema) {
			t.Errorf("error %v, want %v", err, db.ErrOtherSchema)
		}
	}
}

func TestMigrationNumbersHaveNoGap(t *testing.T) {
	t.Parallel()
	files := schema("CREATE TABLE a (x BIGINT)", "CREATE TABLE b (x BIGINT)")
	delete(files, "sqlite/0001_step.sql")
	_, err := db.Open(t.Context(), "sqlite::memory:", db.WithMigrations(files))
	if err == nil || !strings.Contains(err.Error(), "0002_step.sql") {
		t.Errorf("error %v, want one that names the file after the gap", err)
	}
}

func TestOtherProgramsFileIsLeftAlone(t *testing.T) {
	t.Parallel()
	file := filepath.Join(t.TempDir(), "other.db")
	d := dbtest.Open(t, "sqlite:"+file, db.WithMigrations(schema()))
	write(t, d, `CREATE TABLE theirs (id INTEGER)`)
	_, err := db.Open(t.Context(), "sqlite:"+file, withNumbers)
	if !errors.Is(err, db.ErrOtherSchema) {
		t.Errorf("error %v, want %v", err, db.ErrOtherSchema)
	}
	var tables int
	get(t, d, &tables, `SELECT count(*) FROM sqlite_master`)
	if tables != 1 {
		t.Errorf("%d tables after the refusal, want the one that was there", tables)
	}
}

// Triggers have semicolons inside; goose splits files at semicolons unless told.
func TestMigrationsMayHoldTriggers(t *testing.T) {
	t.Parallel()
	const begin, end = "-- +goose StatementBegin\n", "\n-- +goose StatementEnd"
	files := schema("CREATE TABLE fact (id BIGINT NOT NULL PRIMARY KEY)")
	files["sqlite/0002_frozen.sql"] = file(begin + `CREATE TRIGGER frozen BEFORE DELETE ON fact BEGIN
		SELECT 1; SELECT RAISE(ABORT, 'facts are never deleted'); END;` + end)
	files["postgres/0002_frozen.sql"] = file(begin + `CREATE FUNCTION frozen() RETURNS trigger LANGUAGE plpgsql AS $$
		BEGIN PERFORM 1; RAISE EXCEPTION 'facts are never deleted'; END $$;` + end + "\n" +
		begin + `CREATE TRIGGER frozen BEFORE DELETE ON fact FOR EACH ROW EXECUTE FUNCTION frozen();` + end)
	dbtest.Each(t, func(t *testing.T, open func() *db.DB) {
		d := open()
		write(t, d, `INSERT INTO fact (id) VALUES (1)`)
		err := d.Write(t.Context(), func(tx *sqlx.Tx) error {
			_, err := tx.Exec(`DELETE FROM fact`)
			return err
		})
		if err == nil || !strings.Contains(err.Error(), "facts are never deleted") {
			t.Errorf("delete: error %v, want the trigger's", err)
		}
	}, db.WithMigrations(files))
}

// The program's own files must apply in order on both engines.
func TestShippedSchemaOpensOnBothEngines(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, open func() *db.DB) {
		open()
		open() // a second time it is current
	})
}

// bothDSNs returns the names of a new database on each engine.
func bothDSNs(t *testing.T) []string {
	t.Helper()
	return []string{fmt.Sprintf("sqlite:%s/new.db", t.TempDir()), dbtest.Server(t)}
}

func TestStaleLockFileDoesNotStopAStart(t *testing.T) {
	t.Parallel()
	name := filepath.Join(t.TempDir(), "new.db")
	if err := os.WriteFile(name+".lock", nil, 0o600); err != nil { // left by a program that was killed
		t.Fatal(err)
	}
	insert(t, dbtest.Open(t, "sqlite:"+name, withNumbers), 1, 0)
}
