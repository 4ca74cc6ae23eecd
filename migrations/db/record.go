package db

import (
	"context"
	"errors"

	"github.com/pressly/goose/v3/database"
)

// record is goose's store of applied versions. Beside the number it keeps each
// file's name and digest, in the same transaction as the file's own changes, so
// that a file changed after it was applied is found out.
type record struct {
	engine Engine
	steps  []step
}

const recordTable = "schema_version"

var _ database.StoreExtender = record{}

func (record) Tablename() string { return recordTable }

func (r record) CreateVersionTable(ctx context.Context, tx database.DBTxConn) error {
	strict := ""
	if r.engine == SQLite {
		strict = " STRICT"
	}
	_, err := tx.ExecContext(ctx, `CREATE TABLE schema_version (
		version INTEGER NOT NULL PRIMARY KEY,
		name    TEXT    NOT NULL,
		sha256  TEXT    NOT NULL
	)`+strict)
	return err
}

func (r record) Insert(ctx context.Context, tx database.DBTxConn, req database.InsertRequest) error {
	var s step // goose's version 0 marks the empty database
	if req.Version > 0 {
		s = r.steps[req.Version-1]
	}
	_, err := tx.ExecContext(ctx,
		`INSERT INTO schema_version (version, name, sha256) VALUES ($1, $2, $3)`, req.Version, s.Name, s.SHA256)
	return err
}

func (r record) TableExists(ctx context.Context, tx database.DBTxConn) (bool, error) {
	var n int
	err := tx.QueryRowContext(ctx, countRecord(r.engine)).Scan(&n)
	return n > 0, err
}

func (record) ListMigrations(ctx context.Context, tx database.DBTxConn) ([]*database.ListMigrationsResult, error) {
	rows, err := tx.QueryContext(ctx, `SELECT version FROM schema_version ORDER BY version DESC`)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	var list []*database.ListMigrationsResult
	for rows.Next() {
		m := &database.ListMigrationsResult{IsApplied: true}
		if err := rows.Scan(&m.Version); err != nil {
			return nil, err
		}
		list = append(list, m)
	}
	return list, rows.Err()
}

func (record) GetLatestVersion(ctx context.Context, tx database.DBTxConn) (version int64, err error) {
	err = tx.QueryRowContext(ctx, `SELECT max(version) FROM schema_version`).Scan(&version)
	return version, err
}

// errForwardOnly answers goose's questions that only going back would ask.
var errForwardOnly = errors.New("migrations go forward only: restore a backup to go back")

func (record) Delete(context.Context, database.DBTxConn, int64) error { return errForwardOnly }

func (record) GetMigration(context.Context, database.DBTxConn, int64) (*database.GetMigrationResult, error) {
	return nil, errForwardOnly
}

// countRecord counts the tables that hold the record: 0 or 1.
func countRecord(e Engine) string {
	if e == SQLite {
		return `SELECT count(*) FROM sqlite_master WHERE type = 'table' AND name = 'schema_version'`
	}
	return `SELECT count(*) FROM pg_catalog.pg_class WHERE oid = to_regclass('schema_version')`
}
