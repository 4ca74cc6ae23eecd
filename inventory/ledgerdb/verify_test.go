package ledgerdb_test

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"github.com/jmoiron/sqlx"

	"ovenward/inventory/ledger"
	"ovenward/inventory/ledgerdb"
	"ovenward/migrations/db"
	"ovenward/migrations/db/dbtest"
)

const length = 25 // facts in the ledgers that are tampered with

// unlocked lets a transaction change facts, as somebody with the rights of the
// database's owner can.
func unlocked(tx *sqlx.Tx) error {
	statements := []string{
		`DROP TRIGGER fact_no_update`, `DROP TRIGGER fact_no_delete`, `DROP TRIGGER fact_no_replace`,
	}
	if db.EngineOf(tx) == db.Postgres {
		statements = []string{`ALTER TABLE fact DISABLE TRIGGER USER`}
	}
	for _, s := range statements {
		if _, err := tx.Exec(s); err != nil {
			return err
		}
	}
	return nil
}

// sound stands for no fact where Verify finds nothing.
const sound = -1

// tampered returns the fact that Verify names after edit, which is undone
// afterwards.
func tampered(t *testing.T, d *db.DB, edit func(tx *sqlx.Tx) error) (seq int64) {
	t.Helper()
	undone(t, d, func(tx *sqlx.Tx) error {
		seq = sound
		if err := unlocked(tx); err != nil {
			return err
		}
		if err := edit(tx); err != nil {
			return err
		}
		_, err := ledgerdb.Verify(t.Context(), tx, "yard")
		if b, ok := errors.AsType[*ledger.BrokenError](err); ok {
			seq = b.Seq
			return nil
		}
		return err
	})
	return seq
}

func exec(statement string, args ...any) func(*sqlx.Tx) error {
	return func(tx *sqlx.Tx) error {
		result, err := tx.Exec(statement, args...)
		if err != nil {
			return err
		}
		if n, err := result.RowsAffected(); err != nil || n != 1 {
			return fmt.Errorf("%s: %d rows changed, %v", statement, n, err)
		}
		return nil
	}
}

// edits change one column each, all within the table's CHECKs.
var edits = map[string]string{
	"site": `'annex'`, "seq": `seq + 1000`, "id": `'01974000-0000-7000-8000-ffffffffffff'`, "kind": `kind || 'x'`,
	"at_us": `at_us + 1`, "noted_us": `noted_us + 1`, "by_who": `'R. Moss'`, "via": `via || ' '`,
	"body": `replace(body, '40', '10')`, "supersedes": `'01974000-0000-7000-8000-ffffffffffff', reason = 'x'`,
	"reason": `'late'`, "prev": `'` + strings.Repeat("a", 64) + `'`, "hash": `'` + strings.Repeat("b", 64) + `'`,
	"encoding": `encoding + 1`,
}

// Every column of every row, and every row deleted: the named fact is the
// edited one each time.
func TestVerifyNamesTheEditedFact(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, open func() *db.DB) {
		d := open()
		addIssues(t, d, "annex", 0)
		addIssues(t, d, "yard", length)
		for seq := int64(1); seq <= length; seq++ {
			for column, value := range edits {
				got := tampered(t, d, exec(`UPDATE fact SET `+column+` = `+value+` WHERE site = 'yard' AND seq = $1`, seq))
				if got != seq {
					t.Errorf("%s of fact %d edited: Verify named fact %d", column, seq, got)
				}
			}
			got := tampered(t, d, exec(`DELETE FROM fact WHERE site = 'yard' AND seq = $1`, seq))
			if got != seq {
				t.Errorf("fact %d deleted: Verify named fact %d", seq, got)
			}
		}
		if head, err := verify(t, d, "yard"); err != nil || head.Seq != length {
			t.Errorf("untouched: Verify() = %d facts, %v, want %d", head.Seq, err, length)
		}
	})
}

// rewrite edits fact k and computes the hashes of it and of all behind it anew,
// but leaves the link of fact wrong (0 for none) as it was.
func rewrite(facts []ledger.Fact, k, wrong int64) []ledger.Fact {
	forged := append([]ledger.Fact(nil), facts...)
	forged[k-1].By = "R. Moss"
	for i := k - 1; i < int64(len(forged)); i++ {
		if i >= k && i != wrong-1 {
			forged[i].Prev = forged[i-1].Hash
		}
		forged[i].Hash = forged[i].Digest()
	}
	return forged
}

// put overwrites the stored facts, and the head if it is to follow.
func put(forged []ledger.Fact, withHead bool) func(*sqlx.Tx) error {
	return func(tx *sqlx.Tx) error {
		for _, f := range forged {
			err := exec(`UPDATE fact SET by_who = $2, prev = $3, hash = $4 WHERE site = 'yard' AND seq = $1`,
				f.Seq, f.By, f.Prev, f.Hash)(tx)
			if err != nil {
				return err
			}
		}
		if !withHead {
			return nil
		}
		return exec(`UPDATE head SET hash = $1 WHERE site = 'yard'`, forged[len(forged)-1].Hash)(tx)
	}
}

func TestVerifyNamesTheWrongLink(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, open func() *db.DB) {
		d := open()
		facts := addIssues(t, d, "yard", length)
		for k := int64(1); k < length; k++ {
			for _, wrong := range []int64{k + 1, (k + 1 + length) / 2, length} {
				forged := rewrite(facts, k, wrong)
				if got := tampered(t, d, put(forged, true)); got != wrong {
					t.Errorf("written anew from fact %d, wrong link at %d: Verify named fact %d", k, wrong, got)
				}
			}
		}
	})
}

// A perfect forgery of the end is found by the head as long as nobody forged
// that too.
func TestVerifyComparesWithTheStoredHead(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, open func() *db.DB) {
		d := open()
		facts := addIssues(t, d, "yard", length)
		for k := int64(1); k <= length; k++ {
			if got := tampered(t, d, put(rewrite(facts, k, 0), false)); got != length {
				t.Errorf("written anew from fact %d: Verify named fact %d, want the last", k, got)
			}
		}
		for name, c := range map[string]struct {
			edit func(*sqlx.Tx) error
			want int64
		}{
			"head counts one more":   {exec(`UPDATE head SET seq = seq + 1`), length + 1},
			"head counts three less": {exec(`UPDATE head SET seq = seq - 3`), length - 2},
			"head noted later":       {exec(`UPDATE head SET noted_us = noted_us + 1`), length},
			"a fact numbered 0":      {factZero, 0},
		} {
			if got := tampered(t, d, c.edit); got != c.want {
				t.Errorf("%s: Verify named fact %d, want %d", name, got, c.want)
			}
		}
	})
}

// factZero puts a fact before the first, past the table's CHECK.
func factZero(tx *sqlx.Tx) error {
	const insert = `
		INSERT INTO fact
		SELECT site, 0, '01974000-0000-7000-8000-ffffffffffff', kind, at_us, noted_us, by_who, via,
			body, supersedes, reason, prev, hash, encoding
		FROM fact WHERE seq = 1`
	if db.EngineOf(tx) == db.Postgres {
		if _, err := tx.Exec(`ALTER TABLE fact DROP CONSTRAINT fact_seq_check`); err != nil {
			return err
		}
		return exec(insert)(tx)
	}
	if _, err := tx.Exec(`PRAGMA ignore_check_constraints = 1`); err != nil {
		return err
	}
	inserted := exec(insert)(tx)
	_, err := tx.Exec(`PRAGMA ignore_check_constraints = 0`)
	return errors.Join(inserted, err)
}

func TestEmptyLedgerIsSound(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, open func() *db.DB) {
		d := open()
		if head, err := verify(t, d, "yard"); err != nil || head != ledger.Start("yard") {
			t.Errorf("a site never heard of: Verify() = %+v, %v", head, err)
		}
		addIssues(t, d, "yard", 0) // locked, and nothing appended
		if head, err := verify(t, d, "yard"); err != nil || head != ledger.Start("yard") {
			t.Errorf("a locked site: Verify() = %+v, %v", head, err)
		}
	})
}
