package ledgerdb_test

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/jmoiron/sqlx"

	"ovenward/migrations/db"
	"ovenward/migrations/db/dbtest"
)

func TestFactsAreNeverChangedOrDeleted(t *testing.T) {
	t.Parallel()
	const row = `SELECT site, seq, id, kind, at_us, noted_us, 'R. Moss', via, body, supersedes, reason,
		prev, hash, encoding FROM fact WHERE seq = 2`
	onBoth := map[string]string{
		`UPDATE fact SET by_who = 'R. Moss' WHERE seq = 2`: "never changed",
		`UPDATE fact SET body = body`:                      "never changed",
		`UPDATE head SET site = 'annex'`:                   "", // the foreign key speaks
		`DELETE FROM fact WHERE seq = 3`:                   "never deleted",
		`DELETE FROM fact`:                                 "never deleted",
		`DELETE FROM head`:                                 "", // the foreign key speaks
	}
	byEngine := map[db.Engine]map[string]string{
		db.SQLite: {
			`INSERT OR REPLACE INTO fact ` + row:                          "never replaced",
			`REPLACE INTO fact ` + strings.Replace(row, "seq,", "99,", 1): "never replaced",
			`UPDATE OR REPLACE fact SET seq = 1 WHERE seq = 2`:            "never changed",
		},
		db.Postgres: {
			`TRUNCATE fact CASCADE`: "never deleted",
			`TRUNCATE head CASCADE`: "never deleted",
			`INSERT INTO fact ` + row + ` ON CONFLICT (site, seq) DO UPDATE SET by_who = 'R. Moss'`: "never changed",
		},
	}
	dbtest.Each(t, func(t *testing.T, open func() *db.DB) {
		d := open()
		want := addIssues(t, d, "yard", 3)
		for _, statements := range []map[string]string{onBoth, byEngine[d.Engine()]} {
			for statement, says := range statements {
				err := d.Write(t.Context(), func(tx *sqlx.Tx) error {
					_, err := tx.Exec(statement)
					return err
				})
				if err == nil || !strings.Contains(err.Error(), says) {
					t.Errorf("%s: error %v, want one that says %q", statement, err, says)
				}
			}
		}
		if diff := cmp.Diff(want, allFacts(t, d, "yard")); diff != "" {
			t.Errorf("facts (-want +got):\n%s", diff)
		}
	})
}
