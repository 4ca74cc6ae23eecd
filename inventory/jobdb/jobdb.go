// Package jobdb keeps in SQL what joints and jobs ask of their filler, the
// papers of lots, and what was turned away at the window.
//
// Every version of a joint, a job and a paper stays, with the instant from which
// it stood: an issue that is entered late is decided by what stood when it
// happened.
package jobdb

import (
	"context"
	"encoding/json"
	"fmt"

	"github.com/jmoiron/sqlx"

	"ovenward/inventory"
	"ovenward/inventory/ledger"
	"ovenward/inventory/measure"
	"ovenward/migrations/db"
)

// version is an entry as it stood from an instant on.
type version struct {
	Name  string          `db:"name"`
	Since measure.Instant `db:"since_us"`
	Body  string          `db:"body"`
	By    string          `db:"by_who"`
}

// Stood is an entry with when it was entered to stand, and by whom.
type Stood[T any] struct {
	Entry T
	Since measure.Instant
	By    string
}

func stood[T any](rows []version) ([]Stood[T], error) {
	out := make([]Stood[T], len(rows))
	for i, r := range rows {
		out[i].Since, out[i].By = r.Since, r.By
		if err := json.Unmarshal([]byte(r.Body), &out[i].Entry); err != nil {
			return nil, fmt.Errorf("%s: %w", r.Name, err)
		}
	}
	return out, nil
}

// last returns the versions of one name or of all that stood last at an
// instant, in the order of their names.
func last[T any](ctx context.Context, tx *sqlx.Tx, query string, args ...any) ([]Stood[T], error) {
	var rows []version
	if err := tx.SelectContext(ctx, &rows, query, args...); err != nil {
		return nil, err
	}
	latest := rows[:0]
	for i, r := range rows {
		if i+1 == len(rows) || rows[i+1].Name != r.Name {
			latest = append(latest, r)
		}
	}
	return stood[T](latest)
}

// Joint returns a joint as it stood at an instant. The error wraps
// db.ErrNotFound where nothing was set up for it by then.
func Joint(ctx context.Context, tx *sqlx.Tx, site, name string, at measure.Instant) (inventory.JointSet, error) {
	return one[inventory.JointSet](ctx, tx, "joint "+name, `SELECT body FROM joint
		WHERE site = $1 AND joint = $2 AND since_us <= $3 ORDER BY since_us DESC, seq DESC LIMIT 1`, site, name, at)
}

// Job returns what a job asked at an instant. The error wraps db.ErrNotFound
// where nothing was set up for it by then.
func Job(ctx context.Context, tx *sqlx.Tx, site, name string, at measure.Instant) (inventory.JobSet, error) {
	return one[inventory.JobSet](ctx, tx, "job "+name, `SELECT body FROM job_terms
		WHERE site = $1 AND job = $2 AND since_us <= $3 ORDER BY since_us DESC, seq DESC LIMIT 1`, site, name, at)
}

func one[T any](ctx context.Context, tx *sqlx.Tx, what, query string, args ...any) (e T, err error) {
	var body string
	if err = tx.GetContext(ctx, &body, query, args...); err != nil {
		return e, fmt.Errorf("%s: %w", what, db.NotFound(err))
	}
	return e, json.Unmarshal([]byte(body), &e)
}

// AnyJoint reports whether a site sets joints up at all.
func AnyJoint(ctx context.Context, tx *sqlx.Tx, site string) (bool, error) {
	var found []int64
	err := tx.SelectContext(ctx, &found, `SELECT 1 FROM joint WHERE site = $1 LIMIT 1`, site)
	return len(found) > 0, err
}

// Joints returns every joint as it stood at an instant.
func Joints(ctx context.Context, tx *sqlx.Tx, site string, at measure.Instant) ([]Stood[inventory.JointSet], error) {
	return last[inventory.JointSet](ctx, tx, `SELECT joint AS name, since_us, body, by_who FROM joint
		WHERE site = $1 AND since_us <= $2 ORDER BY joint, since_us, seq`, site, at)
}

// Jobs returns every job as it stood at an instant.
func Jobs(ctx context.Context, tx *sqlx.Tx, site string, at measure.Instant) ([]Stood[inventory.JobSet], error) {
	return last[inventory.JobSet](ctx, tx, `SELECT job AS name, since_us, body, by_who FROM job_terms
		WHERE site = $1 AND since_us <= $2 ORDER BY job, since_us, seq`, site, at)
}

// Certificates returns the papers of a lot as they stood at an instant, in the
// order of their numbers.
func Certificates(ctx context.Context, tx *sqlx.Tx, site, lot string, at measure.Instant) ([]Stood[inventory.CertificateSet], error) {
	return last[inventory.CertificateSet](ctx, tx, `SELECT number AS name, since_us, body, by_who FROM certificate
		WHERE site = $1 AND lot = $2 AND since_us <= $3 ORDER BY number, since_us, seq`, site, lot, at)
}

// CertificateVersions returns every version of every paper of a lot by an
// instant, in the order in which they stood.
func CertificateVersions(ctx context.Context, tx *sqlx.Tx, site, lot string, at measure.Instant) ([]Stood[inventory.CertificateSet], error) {
	var rows []version
	err := tx.SelectContext(ctx, &rows, `SELECT number AS name, since_us, body, by_who FROM certificate
		WHERE site = $1 AND lot = $2 AND since_us <= $3 ORDER BY since_us, seq`, site, lot, at)
	if err != nil {
		return nil, err
	}
	return stood[inventory.CertificateSet](rows)
}

// Papers returns every version of every paper of a site by an instant, in the
// order of their lots, numbers and time.
func Papers(ctx context.Context, tx *sqlx.Tx, site string, at measure.Instant) ([]Stood[inventory.CertificateSet], error) {
	var rows []version
	err := tx.SelectContext(ctx, &rows, `SELECT number AS name, since_us, body, by_who FROM certificate
		WHERE site = $1 AND since_us <= $2 ORDER BY lot, number, since_us, seq`, site, at)
	if err != nil {
		return nil, err
	}
	return stood[inventory.CertificateSet](rows)
}

// TurnedAway returns what was turned away between two instants, oldest first.
func TurnedAway(ctx context.Context, tx *sqlx.Tx, site string, from, to measure.Instant) ([]Stood[inventory.TurnedAway], error) {
	var rows []version
	err := tx.SelectContext(ctx, &rows, `SELECT '' AS name, at_us AS since_us, body, by_who FROM turned_away
		WHERE site = $1 AND at_us >= $2 AND at_us <= $3 ORDER BY at_us, seq`, site, from, to)
	if err != nil {
		return nil, err
	}
	return stood[inventory.TurnedAway](rows)
}

// Apply changes the tables as a fact about joints, jobs and papers says.
func Apply(ctx context.Context, tx *sqlx.Tx, f ledger.Fact, e inventory.Entry) (err error) {
	switch e := e.(type) {
	case *inventory.JointSet:
		err = put(ctx, tx, e, `INSERT INTO joint (site, joint, job, since_us, seq, by_who, body)
			VALUES ($1, $2, $3, $4, $5, $6, $7)`, f.Site, e.Joint, e.Job, f.At, f.Seq, f.By)
	case *inventory.JobSet:
		err = put(ctx, tx, e, `INSERT INTO job_terms (site, job, since_us, seq, by_who, body)
			VALUES ($1, $2, $3, $4, $5, $6)`, f.Site, e.Job, f.At, f.Seq, f.By)
	case *inventory.CertificateSet:
		err = put(ctx, tx, e, `INSERT INTO certificate (site, lot, number, since_us, seq, by_who, body)
			VALUES ($1, $2, $3, $4, $5, $6, $7)`, f.Site, e.Lot, e.Number, f.At, f.Seq, f.By)
	case *inventory.TurnedAway:
		err = put(ctx, tx, e, `INSERT INTO turned_away (site, at_us, seq, by_who, body)
			VALUES ($1, $2, $3, $4, $5)`, f.Site, f.At, f.Seq, f.By)
	}
	if err != nil {
		return fmt.Errorf("fact %d of site %s (%s): %w", f.Seq, f.Site, f.Kind, err)
	}
	return nil
}

// put inserts a row whose last column is the entry itself.
func put(ctx context.Context, tx *sqlx.Tx, e inventory.Entry, query string, args ...any) error {
	body, err := json.Marshal(e)
	if err != nil {
		return err
	}
	_, err = tx.ExecContext(ctx, query, append(args, string(body))...)
	return err
}
