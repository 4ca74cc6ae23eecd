package stockdb_test

import (
	"strings"
	"testing"

	"github.com/jmoiron/sqlx"

	"ovenward/inventory/stockdb"
	"ovenward/migrations/db"
	"ovenward/migrations/db/dbtest"
)

// What happened in a stretch of time is found by an index on time: a report of one
// month does not read the other months.
func TestPeriodIsLookedUpByTime(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, open func() *db.DB) {
		t.Parallel()
		d := open()
		s := &site{t: t, db: d, name: "yard"}
		for query, indexes := range stockdb.PeriodQueries {
			plan := s.plan(query)
			for _, index := range indexes {
				if !strings.Contains(plan, index) {
					t.Errorf("%s: no look-up by %s:\n%s", query, index, plan)
				}
			}
			for line := range strings.Lines(plan) {
				if strings.HasPrefix(line, "SCAN ") || strings.HasSuffix(line, "(site=?)\n") {
					t.Errorf("%s reads all of a site: %s", query, line)
				}
			}
		}
	})
}

// plan is how the engine would answer a query about an hour. An empty table is
// read whole otherwise; what counts is that an index fits.
func (s *site) plan(query string) string {
	var plan strings.Builder
	s.read(func(tx *sqlx.Tx) error {
		plan.Reset()
		prefix := `EXPLAIN QUERY PLAN `
		if s.db.Engine() == db.Postgres {
			prefix = `EXPLAIN `
			if _, err := tx.Exec(`SET LOCAL enable_seqscan = off`); err != nil {
				return err
			}
		}
		args := []any{s.name, int64(noon), int64(noon) + 3_600_000_000}
		rows, err := tx.QueryContext(s.t.Context(), prefix+query, args[:most(query)]...)
		if err != nil {
			return err
		}
		defer rows.Close()
		for rows.Next() {
			cells, err := sqlx.SliceScan(rows)
			if err != nil {
				return err
			}
			line, _ := cells[len(cells)-1].(string)
			plan.WriteString(line + "\n")
		}
		return rows.Err()
	})
	return plan.String()
}

// most is how many arguments a query has.
func most(query string) int {
	if strings.Contains(query, "$3") {
		return 3
	}
	return 2
}
