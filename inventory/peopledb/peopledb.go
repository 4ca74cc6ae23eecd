// Package peopledb keeps in SQL who may do what since when, and who was trained
// on which rules.
package peopledb

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"github.com/jmoiron/sqlx"

	"ovenward/inventory"
	"ovenward/inventory/ledger"
	"ovenward/inventory/measure"
)

type row struct {
	Badge string `db:"person"`
	Seq   int64  `db:"seq"`
	Name  string `db:"name"`
	Roles string `db:"roles"`
	Since string `db:"since"`
	Until string `db:"until"`
}

func (r row) person() inventory.Person {
	p := inventory.Person{Badge: r.Badge, Name: r.Name, Since: measure.Date(r.Since), Until: measure.Date(r.Until), Seq: r.Seq}
	for name := range strings.SplitSeq(r.Roles, ",") {
		if name != "" {
			p.Roles = append(p.Roles, inventory.Role(name))
		}
	}
	return p
}

func list(ctx context.Context, tx *sqlx.Tx, where string, args ...any) ([]inventory.Person, error) {
	var rows []row
	err := tx.SelectContext(ctx, &rows, `SELECT person, seq, name, roles, since, until FROM person
		WHERE site = $1 `+where+` ORDER BY person, seq`, args...)
	if err != nil {
		return nil, fmt.Errorf("people: %w", err)
	}
	out := make([]inventory.Person, len(rows))
	for i, r := range rows {
		out[i] = r.person()
	}
	return out, nil
}

// All returns everything that the facts say of a site's people.
func All(ctx context.Context, tx *sqlx.Tx, site string) ([]inventory.Person, error) {
	return list(ctx, tx, "", site)
}

// Office returns what the facts say of those who ever held an office. They are
// few, so that the window may ask for them with every act.
func Office(ctx context.Context, tx *sqlx.Tx, site string) ([]inventory.Person, error) {
	return list(ctx, tx, "AND office = 1", site)
}

// Of returns what the facts say of one person.
func Of(ctx context.Context, tx *sqlx.Tx, site, badge string) ([]inventory.Person, error) {
	return list(ctx, tx, "AND person = $2", site, badge)
}

// HasWelders reports whether welders were set up by a day.
func HasWelders(ctx context.Context, tx *sqlx.Tx, site string, day measure.Date) (bool, error) {
	var found []int64
	err := tx.SelectContext(ctx, &found, `SELECT 1 FROM person WHERE site = $1 AND since <= $2 AND roles LIKE '%welder%' LIMIT 1`,
		site, string(day))
	return len(found) > 0, err
}

// Trained is that a person was trained on a rule set.
type Trained struct {
	Badge string       `db:"person"`
	Rules string       `db:"rules"`
	On    measure.Date `db:"on_day"`
}

// Training returns a site's trainings, of one person where a badge is given, in
// the order of badge, rule set and day.
func Training(ctx context.Context, tx *sqlx.Tx, site, badge string) ([]Trained, error) {
	var out []Trained
	err := tx.SelectContext(ctx, &out, `SELECT person, rules, on_day FROM training
		WHERE site = $1 AND ($2 = '' OR person = $2) ORDER BY person, rules, on_day`, site, badge)
	return out, err
}

// Apply changes the tables as a fact about a person says.
func Apply(ctx context.Context, tx *sqlx.Tx, f ledger.Fact, e inventory.Entry) error {
	p, ok := e.(*inventory.PersonSet)
	if !ok {
		return nil
	}
	err := set(ctx, tx, f, p)
	for _, t := range p.Trained {
		if err == nil {
			_, err = tx.ExecContext(ctx, `INSERT INTO training (site, person, rules, on_day) VALUES ($1, $2, $3, $4)
				ON CONFLICT (site, person, rules, on_day) DO NOTHING`, f.Site, p.Person, t.Rules, t.On)
		}
	}
	if err != nil {
		return fmt.Errorf("fact %d of site %s (%s): %w", f.Seq, f.Site, f.Kind, err)
	}
	return nil
}

// set keeps what a fact says. Who ever held an office stays among those who
// did, or that it ended would not be seen.
func set(ctx context.Context, tx *sqlx.Tx, f ledger.Fact, p *inventory.PersonSet) error {
	names := make([]string, len(p.Roles))
	for i, r := range p.Roles {
		names[i] = string(r)
	}
	office := int64(0)
	if slices.ContainsFunc(p.Roles, inventory.Role.Office) {
		office = 1
		if _, err := tx.ExecContext(ctx, `UPDATE person SET office = 1 WHERE site = $1 AND person = $2`, f.Site, p.Person); err != nil {
			return err
		}
	}
	_, err := tx.ExecContext(ctx, `INSERT INTO person (site, person, seq, name, roles, since, until, office)
		VALUES ($1, $2, $3, $4, $5, $6, $7, CASE WHEN EXISTS (
			SELECT 1 FROM person WHERE site = $1 AND person = $2 AND office = 1) THEN 1 ELSE CAST($8 AS BIGINT) END)`,
		f.Site, p.Person, f.Seq, p.Name, strings.Join(names, ","), p.Since, p.Until, office)
	return err
}
