package ledgerdb_test

import (
	"bytes"
	"errors"
	"io"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/jmoiron/sqlx"

	"ovenward/inventory/ledger"
	"ovenward/inventory/ledgerdb"
	"ovenward/migrations/db"
	"ovenward/migrations/db/dbtest"
)

// export returns a site's facts behind a head as a file.
func export(t *testing.T, d *db.DB, from ledger.Head) []byte {
	t.Helper()
	var b bytes.Buffer
	read(t, d, func(tx *sqlx.Tx) error {
		b.Reset()
		w, err := ledger.NewWriter(&b, from)
		if err != nil {
			return err
		}
		if err := ledgerdb.Each(t.Context(), tx, from.Site, from.Seq, w.Write); err != nil {
			return err
		}
		return w.Close()
	})
	return b.Bytes()
}

// load puts the facts of a file into a database that has not got them yet, one
// transaction for all.
func load(t *testing.T, d *db.DB, site string, file []byte) error {
	t.Helper()
	return d.Write(t.Context(), func(tx *sqlx.Tx) error {
		h, err := ledgerdb.Lock(t.Context(), tx, site)
		if err != nil {
			return err
		}
		r, err := ledger.NewReader(bytes.NewReader(file), h)
		if err != nil {
			return err
		}
		for {
			f, err := r.Read()
			if errors.Is(err, io.EOF) {
				return nil
			}
			if err != nil {
				return err
			}
			if err := ledgerdb.Insert(t.Context(), tx, h, f); err != nil {
				return err
			}
			h = f.Head()
		}
	})
}

func TestLedgerIsCarriedWholeAndContinued(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, open func() *db.DB) {
		source, target := open(), dbtest.SQLite(t)
		addIssues(t, source, "yard", 40)
		first := export(t, source, ledger.Start("yard"))
		if err := load(t, target, "yard", first); err != nil {
			t.Fatal(err)
		}
		add(t, source, "yard", correction(41, 7), issueDraft(42))
		whole := export(t, source, ledger.Start("yard"))
		if err := load(t, target, "yard", whole); err != nil {
			t.Fatal("continued from the whole file:", err)
		}
		add(t, source, "yard", issueDraft(43))
		h, err := verify(t, target, "yard")
		if err != nil || h.Seq != 42 {
			t.Fatalf("target: Verify() = %d facts, %v, want 42", h.Seq, err)
		}
		if err := load(t, target, "yard", export(t, source, h)); err != nil {
			t.Fatal("continued from the head:", err)
		}
		want, got := export(t, source, ledger.Start("yard")), export(t, target, ledger.Start("yard"))
		if !bytes.Equal(got, want) {
			t.Errorf("the carried ledger is exported as\n%s\nwant\n%s", got, want)
		}
	})
}

// And the other way round: from a SQLite file into a yard's PostgreSQL.
func TestManyFactsAreLoadedAtOnce(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, open func() *db.DB) {
		source, target := dbtest.SQLite(t), open()
		facts := append(addIssues(t, source, "yard", 30), add(t, source, "yard", correction(31, 30))...)
		err := target.Write(t.Context(), func(tx *sqlx.Tx) error {
			h, err := ledgerdb.Lock(t.Context(), tx, "yard")
			if err == nil {
				h, err = ledgerdb.InsertAll(t.Context(), tx, h, facts[:20])
			}
			if err == nil {
				h, err = ledgerdb.InsertAll(t.Context(), tx, h, facts[20:])
			}
			if err == nil && h != facts[30].Head() {
				t.Errorf("InsertAll() = %+v, want %+v", h, facts[30].Head())
			}
			return err
		})
		if err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(facts, allFacts(t, target, "yard")); diff != "" {
			t.Errorf("loaded (-want +got):\n%s", diff)
		}
	})
}

func TestFactThatDoesNotFollowIsNotLoaded(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, open func() *db.DB) {
		facts := addIssues(t, dbtest.SQLite(t), "yard", 3)
		d := open()
		empty := facts[0]
		empty.By, empty.Hash = "", ""
		empty.Hash = empty.Digest()
		for name, f := range map[string]ledger.Fact{"gap": facts[1], "nobody's": empty} {
			err := d.Write(t.Context(), func(tx *sqlx.Tx) error {
				h, err := ledgerdb.Lock(t.Context(), tx, "yard")
				if err != nil {
					return err
				}
				return ledgerdb.Insert(t.Context(), tx, h, f)
			})
			_, broken := errors.AsType[*ledger.BrokenError](err)
			_, field := errors.AsType[*ledger.FieldError](err)
			if broken != (name == "gap") || field != (name != "gap") {
				t.Errorf("%s fact: error %v", name, err)
			}
		}
		if h, err := verify(t, d, "yard"); err != nil || h != ledger.Start("yard") {
			t.Errorf("after refused facts: Verify() = %+v, %v", h, err)
		}
	})
}
