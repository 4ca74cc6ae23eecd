package db

import (
	"context"
	"database/sql"
	"fmt"
	"io/fs"

	"github.com/jmoiron/sqlx"
	"github.com/pressly/goose/v3"
)

// migrate brings the schema up to date. The version is read first, so that a
// command at the counter pays for two short queries and no lock.
func (d *DB) migrate(ctx context.Context, files fs.FS) error {
	known, err := readSteps(files, d.engine)
	if err != nil {
		return err
	}
	behind, err := d.isBehind(ctx, known)
	if err != nil || !behind {
		return err
	}
	unlock, err := d.lock(ctx)
	if err != nil {
		return err
	}
	defer unlock()
	// Another program may have done the work while this one waited.
	behind, err = d.isBehind(ctx, known)
	if err != nil || !behind {
		return err
	}
	return d.apply(ctx, files, known)
}

func (d *DB) isBehind(ctx context.Context, known []step) (bool, error) {
	var applied []step
	err := d.Read(ctx, func(tx *sqlx.Tx) (err error) {
		applied, err = d.appliedSteps(ctx, tx)
		return err
	})
	if err != nil {
		return false, err
	}
	return d.compare(applied, known)
}

// appliedSteps reads the record; an empty database has none.
func (d *DB) appliedSteps(ctx context.Context, tx *sqlx.Tx) ([]step, error) {
	var n int
	if err := tx.GetContext(ctx, &n, countRecord(d.engine)); err != nil {
		return nil, err
	}
	if n == 0 {
		return nil, d.checkEmpty(ctx, tx)
	}
	var applied []step
	err := tx.SelectContext(ctx, &applied,
		`SELECT version, name, sha256 FROM schema_version WHERE version > 0 ORDER BY version`)
	return applied, err
}

// checkEmpty refuses to put tables into another program's SQLite file, which a
// slip in the file name can lead to.
func (d *DB) checkEmpty(ctx context.Context, tx *sqlx.Tx) error {
	if d.engine != SQLite {
		return nil
	}
	var n int
	if err := tx.GetContext(ctx, &n, `SELECT count(*) FROM sqlite_master`); err != nil || n == 0 {
		return err
	}
	return &Error{
		Kind: ErrOtherSchema, Database: d.name,
		Err:  fmt.Errorf("it holds %d tables and indexes of another program", n),
		Next: "give the name of an ovenward file, or of a new one",
	}
}

// apply runs the missing files, each in a transaction of its own.
func (d *DB) apply(ctx context.Context, files fs.FS, known []step) error {
	folder, err := fs.Sub(files, string(d.engine))
	if err != nil {
		return err
	}
	target, err := d.migrationPool()
	if err != nil {
		return err
	}
	if target != d.write.db.DB {
		defer target.Close()
	}
	p, err := goose.NewProvider(goose.DialectCustom, target, folder,
		goose.WithStore(record{engine: d.engine, steps: known}),
		goose.WithDisableGlobalRegistry(true), goose.WithLogger(goose.NopLogger()))
	if err != nil {
		return err
	}
	if _, err := p.Up(ctx); err != nil {
		return fmt.Errorf("migrate: %w", err)
	}
	return nil
}

// migrationPool returns the connections that goose works on: the handle's own,
// or for a file one that waits for locks by itself.
func (d *DB) migrationPool() (*sql.DB, error) {
	if d.file == "" {
		return d.write.db.DB, nil
	}
	p, err := sqlitePool(d.file, migrateSettings, 1)
	if err != nil {
		return nil, err
	}
	return p.DB, nil
}
