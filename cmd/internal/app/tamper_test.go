package app_test

import (
	"errors"
	"strings"
	"testing"

	"github.com/jmoiron/sqlx"

	"ovenward/inventory"
	"ovenward/inventory/ledger"
	"ovenward/inventory/measure"
	"ovenward/inventory/stockdb"
	"ovenward/migrations/db"
	"ovenward/migrations/db/dbtest"
)

// busy is a shop in which every table of what follows from the facts has rows.
func busyShop(t tb, d *db.DB, site string) *shop {
	t.Helper()
	s := newShop(t, d, site)
	s.do(&inventory.Calibrated{Sensor: "H1", Error: "2 C", Due: "2026-06-05"})
	s.do(&inventory.RulesUsed{Rules: "reference-running", Job: "J7"})
	s.do(received("7B21", "", 150))
	s.do(&inventory.LotReleased{Lot: "7B21"})
	s.do(&inventory.Opened{Bundle: "B0001-G", Into: "H1"})
	s.pass(measure.Hour)
	s.do(issue("", "B0001-G", 40))
	s.pass(measure.Hour)
	s.do(&inventory.Returned{Slip: "S0001-R", Unused: 18, Stubs: 20, Into: "H1"})
	s.do(&inventory.Moved{Bundle: "B0001-G", Pieces: 10, Into: "H2"})
	s.do(&inventory.WentWet{Bundle: "B0003-C"})
	s.do(&inventory.Scrapped{Bundle: "B0003-C", Pieces: 4, Why: "rain"})
	return s
}

// edits change one row of each table of what follows from the facts.
var edits = map[string]string{
	"site":        `UPDATE site SET units = 'US' WHERE site = $1`,
	"counter":     `UPDATE counter SET n = n + 1 WHERE site = $1 AND kind = 'B'`,
	"place":       `UPDATE place SET kind = 'shelf' WHERE site = $1 AND place = 'H1'`,
	"sensor":      `UPDATE sensor SET place = 'H2' WHERE site = $1 AND sensor = 'H1'`,
	"calibration": `UPDATE calibration SET error_k = 0 WHERE site = $1`,
	"ruleset":     `UPDATE ruleset SET body = body || ' ' WHERE site = $1`,
	"job":         `UPDATE job SET job = 'J8' WHERE site = $1`,
	"lot_fact":    `DELETE FROM lot_fact WHERE site = $1 AND seq = 12`,
	"lot":         `UPDATE lot SET status = 'held by QA' WHERE site = $1`,
	"bundle":      `UPDATE bundle SET pieces = pieces + 1 WHERE site = $1 AND bundle = 'B0001-G'`,
	"origin":      `UPDATE origin SET at_us = at_us + 1 WHERE site = $1 AND bundle = 'S0001-R'`,
	"stay":        `UPDATE stay SET from_us = from_us + 1 WHERE site = $1 AND bundle = 'S0001-R'`,
	"happening":   `DELETE FROM happening WHERE site = $1`,
	"slip":        `UPDATE slip SET welder = 'W4' WHERE site = $1`,
	"slip_joint":  `UPDATE slip_joint SET joint = 'J-999' WHERE site = $1`,
	"loss":        `UPDATE loss SET pieces = 3 WHERE site = $1`,
}

// A row that was changed past the program is named, and building anew from the
// facts mends it.
func TestVerifyNamesTheEditedRow(t *testing.T) {
	t.Parallel()
	dbtest.Whole(t, func(t *testing.T, open func() *db.DB) {
		t.Parallel()
		s := busyShop(t, open(), "yard")
		for _, table := range s.tables() {
			edit, ok := edits[table]
			if !ok {
				t.Errorf("no edit of table %s: add one", table)
				continue
			}
			s.tamper(edit)
			v, err := s.Verify(t.Context())
			if err != nil {
				t.Fatalf("%s: %v", table, err)
			}
			for _, d := range v.Differences {
				if !strings.Contains(d, ": "+table+" ") {
					t.Errorf("after an edit of %s: Verify says %q", table, d)
				}
			}
			if n := len(v.Differences); n == 0 || n > 2 {
				t.Errorf("after an edit of one row of %s: %d differences", table, n)
			}
			if err := s.Rebuild(t.Context()); err != nil {
				t.Fatalf("rebuild after an edit of %s: %v", table, err)
			}
			s.sound()
		}
	})
}

// tables are those of what follows from the facts, all of which have rows.
func (s *shop) tables() (names []string) {
	s.t.Helper()
	s.read(func(tx *sqlx.Tx) error {
		names = nil
		return stockdb.Dump(s.t.Context(), tx, s.Site, func(r stockdb.Row) error {
			if n := len(names); n == 0 || names[n-1] != r.Table {
				names = append(names, r.Table)
			}
			return nil
		})
	})
	if len(names) != len(edits) {
		s.t.Fatalf("the shop has rows in %v, want some in each of %d tables", names, len(edits))
	}
	return names
}

// tamper changes rows past the program.
func (s *shop) tamper(statement string) {
	s.t.Helper()
	err := s.DB.Write(s.t.Context(), func(tx *sqlx.Tx) error {
		result, err := tx.Exec(statement, s.Site)
		if err != nil {
			return err
		}
		if n, err := result.RowsAffected(); err != nil || n == 0 {
			return errors.Join(errors.New("no row was changed"), err)
		}
		return nil
	})
	if err != nil {
		s.t.Fatalf("%s: %v", statement, err)
	}
}

// A changed fact is named by its number.
func TestVerifyNamesTheEditedFact(t *testing.T) {
	t.Parallel()
	dbtest.Whole(t, func(t *testing.T, open func() *db.DB) {
		t.Parallel()
		s := busyShop(t, open(), "yard")
		unlock := `DROP TRIGGER fact_no_update`
		if s.DB.Engine() == db.Postgres {
			unlock = `ALTER TABLE fact DISABLE TRIGGER USER`
		}
		err := s.DB.Write(t.Context(), func(tx *sqlx.Tx) error {
			if _, err := tx.Exec(unlock); err != nil {
				return err
			}
			_, err := tx.Exec(`UPDATE fact SET body = replace(body, '40', '10') WHERE site = 'yard' AND seq = 15`)
			return err
		})
		if err != nil {
			t.Fatal(err)
		}
		_, err = s.Verify(t.Context())
		if b, ok := errors.AsType[*ledger.BrokenError](err); !ok || b.Seq != 15 {
			t.Errorf("Verify() = %v, want fact 15 named", err)
		}
	})
}
