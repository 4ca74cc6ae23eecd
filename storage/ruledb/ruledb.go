// Package ruledb keeps approved rule sets and where they are in force in SQL.
package ruledb

import (
	"context"
	"fmt"

	"github.com/jmoiron/sqlx"

	"ovenward/inventory"
	"ovenward/inventory/ledger"
	"ovenward/inventory/measure"
	"ovenward/migrations/db"
	"ovenward/storage/rules"
)

// Approved is a rule set with the person who approved it.
type Approved struct {
	ID      string          `db:"id"`
	Edition string          `db:"edition"`
	Digest  string          `db:"digest"`
	Body    string          `db:"body"`
	By      string          `db:"approved_by"`
	At      measure.Instant `db:"approved_us"`
}

// Set returns the rule set as it was approved.
func (a Approved) Set() (*rules.Set, error) {
	return rules.Parse(a.ID, []byte(a.Body))
}

// Site is what a site set up for itself.
type Site struct {
	Zone  string             `db:"zone"`
	Units measure.UnitSystem `db:"units"`
	Rules string             `db:"rules"` // the rule set in force, empty before one is
}

// Settings returns a site's settings. The error wraps db.ErrNotFound before
// the site is set up.
func Settings(ctx context.Context, tx *sqlx.Tx, site string) (Site, error) {
	var s Site
	err := tx.GetContext(ctx, &s, `SELECT zone, units, rules FROM site WHERE site = $1`, site)
	if err != nil {
		return s, fmt.Errorf("site %s: %w", site, db.NotFound(err))
	}
	return s, nil
}

// Find returns an approved rule set. The error wraps db.ErrNotFound when the
// set was not approved.
func Find(ctx context.Context, tx *sqlx.Tx, site, id string) (Approved, error) {
	var a Approved
	err := tx.GetContext(ctx, &a, `SELECT id, edition, digest, body, approved_by, approved_us FROM ruleset
		WHERE site = $1 AND id = $2`, site, id)
	if err != nil {
		return a, fmt.Errorf("rule set %s: %w", id, db.NotFound(err))
	}
	return a, nil
}

// All returns every approved rule set of a site.
func All(ctx context.Context, tx *sqlx.Tx, site string) ([]Approved, error) {
	var list []Approved
	err := tx.SelectContext(ctx, &list, `SELECT id, edition, digest, body, approved_by, approved_us FROM ruleset
		WHERE site = $1 ORDER BY id`, site)
	return list, err
}

// ForJob returns the id of the rule set in force for a job: its own, or the
// site's where it names none.
func ForJob(ctx context.Context, tx *sqlx.Tx, site, job string) (string, error) {
	s, err := Settings(ctx, tx, site)
	if err != nil || job == "" {
		return s.Rules, err
	}
	var ids []string
	if err := tx.SelectContext(ctx, &ids, `SELECT rules FROM job WHERE site = $1 AND job = $2`, site, job); err != nil {
		return "", err
	}
	if len(ids) == 1 {
		return ids[0], nil
	}
	return s.Rules, nil
}

// Own returns the ids of the rule sets that jobs name for themselves.
func Own(ctx context.Context, tx *sqlx.Tx, site string) (map[string]string, error) {
	var list []struct {
		Job   string `db:"job"`
		Rules string `db:"rules"`
	}
	err := tx.SelectContext(ctx, &list, `SELECT job, rules FROM job WHERE site = $1`, site)
	own := make(map[string]string, len(list))
	for _, j := range list {
		own[j.Job] = j.Rules
	}
	return own, err
}

// Apply changes the tables as a fact about rule sets or a site says.
func Apply(ctx context.Context, tx *sqlx.Tx, f ledger.Fact, e inventory.Entry) error {
	var err error
	switch e := e.(type) {
	case *inventory.SiteSet:
		_, err = tx.ExecContext(ctx, `INSERT INTO site (site, zone, units, rules) VALUES ($1, $2, $3, '')
			ON CONFLICT (site) DO UPDATE SET zone = excluded.zone, units = excluded.units`, f.Site, e.Zone, e.Units)
	case *inventory.RulesApproved:
		_, err = tx.ExecContext(ctx, `INSERT INTO ruleset (site, id, edition, digest, body, approved_by, approved_us)
			VALUES ($1, $2, $3, $4, $5, $6, $7)`, f.Site, e.ID, e.Edition, e.Digest, e.Text, f.By, f.At)
	case *inventory.RulesUsed:
		err = use(ctx, tx, f.Site, e)
	case *inventory.TestReported:
		err = keepReport(ctx, tx, f, e)
	case *inventory.JobSet:
		if e.Rules != "" { // the same as use-rules for the job
			err = use(ctx, tx, f.Site, &inventory.RulesUsed{Rules: e.Rules, Job: e.Job})
		}
	}
	if err != nil {
		return fmt.Errorf("fact %d of site %s (%s): %w", f.Seq, f.Site, f.Kind, err)
	}
	return nil
}

func use(ctx context.Context, tx *sqlx.Tx, site string, e *inventory.RulesUsed) error {
	if e.Job == "" {
		_, err := tx.ExecContext(ctx, `UPDATE site SET rules = $2 WHERE site = $1`, site, e.Rules)
		return err
	}
	_, err := tx.ExecContext(ctx, `INSERT INTO job (site, job, rules) VALUES ($1, $2, $3)
		ON CONFLICT (site, job) DO UPDATE SET rules = excluded.rules`, site, e.Job, e.Rules)
	return err
}
