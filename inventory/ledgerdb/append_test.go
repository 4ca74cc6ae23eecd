package ledgerdb_test

import (
	"errors"
	"sync"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/jmoiron/sqlx"

	"ovenward/inventory/ledger"
	"ovenward/inventory/ledgerdb"
	"ovenward/migrations/db"
	"ovenward/migrations/db/dbtest"
)

func TestManyWritersNumberWithoutGap(t *testing.T) {
	t.Parallel()
	const writers, each = 4, 100
	dbtest.Each(t, func(t *testing.T, open func() *db.DB) {
		var wg sync.WaitGroup
		for w := range writers {
			d := open()
			wg.Go(func() {
				for i := range each {
					if err := appendOne(t, d, "yard", issueDraft(w*each+i)); err != nil {
						t.Errorf("writer %d, fact %d: %v", w, i, err)
					}
				}
			})
		}
		wg.Wait()
		head, err := verify(t, open(), "yard")
		if err != nil || head.Seq != writers*each {
			t.Errorf("Verify() = %d facts, %v, want %d", head.Seq, err, writers*each)
		}
		ids := map[string]bool{}
		for _, f := range allFacts(t, open(), "yard") {
			ids[f.ID] = true
		}
		if len(ids) != writers*each {
			t.Errorf("%d different ids, want %d", len(ids), writers*each)
		}
	})
}

func appendOne(t *testing.T, d *db.DB, site string, draft ledger.Draft) error {
	return d.Write(t.Context(), func(tx *sqlx.Tx) error {
		h, err := ledgerdb.Lock(t.Context(), tx, site)
		if err != nil {
			return err
		}
		_, err = ledgerdb.Append(t.Context(), tx, h, draft)
		return err
	})
}

const shortPatience = 200 * time.Millisecond

// SQLite has one writer in all, so this is PostgreSQL's alone.
func TestSitesDoNotWaitForEachOther(t *testing.T) {
	t.Parallel()
	dsn := dbtest.Prepared(t)
	holder, other := dbtest.Open(t, dsn), dbtest.Open(t, dsn, db.WithPatience(shortPatience))
	addIssues(t, holder, "annex", 1)
	err := holder.Write(t.Context(), func(tx *sqlx.Tx) error {
		if _, err := ledgerdb.Lock(t.Context(), tx, "yard"); err != nil {
			return err
		}
		for _, site := range []string{"annex", "a new site"} {
			if err := appendOne(t, other, site, issueDraft(2)); err != nil {
				t.Errorf("%s waits for the yard: %v", site, err)
			}
		}
		if err := appendOne(t, other, "yard", issueDraft(2)); !errors.Is(err, db.ErrBusy) {
			t.Errorf("a second writer of the yard: error %v, want %v", err, db.ErrBusy)
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
}

func TestRepeatedIDGivesTheFirstOutcome(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, open func() *db.DB) {
		d := open()
		first := addIssues(t, d, "yard", 3)
		again := issueDraft(2)
		again.Body = `{"slip":"S2","pieces":10}`
		var got ledger.Fact
		err := d.Write(t.Context(), func(tx *sqlx.Tx) error {
			h, err := ledgerdb.Lock(t.Context(), tx, "yard")
			if err != nil {
				return err
			}
			if _, err := ledgerdb.Append(t.Context(), tx, h, again); !errors.Is(err, ledgerdb.ErrDuplicate) {
				t.Errorf("error %v, want %v", err, ledgerdb.ErrDuplicate)
			}
			got, err = ledgerdb.ByID(t.Context(), tx, "yard", again.ID) // in the same transaction
			return err
		})
		if err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(first[1], got); diff != "" {
			t.Errorf("first outcome (-want +got):\n%s", diff)
		}
		if head, err := verify(t, d, "yard"); err != nil || head != first[2].Head() {
			t.Errorf("Verify() = %+v, %v, want the ledger as before", head, err)
		}
	})
}

// An id is a site's own: two sites that were carried together may share one.
func TestSameIDAtAnotherSiteIsAnotherFact(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, open func() *db.DB) {
		d := open()
		yard, annex := addIssues(t, d, "yard", 1), addIssues(t, d, "annex", 1)
		if yard[0].ID != annex[0].ID || yard[0].Hash == annex[0].Hash {
			t.Errorf("yard has %+v, annex %+v", yard[0], annex[0])
		}
	})
}

func TestHeadThatWasNotLockedIsRefused(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, open func() *db.DB) {
		d := open()
		facts := addIssues(t, d, "yard", 3)
		wrong := facts[2].Head()
		wrong.Hash = ledger.Genesis
		for name, h := range map[string]ledger.Head{
			"an older head": facts[1].Head(), "another hash": wrong, "a site never locked": ledger.Start("annex"),
		} {
			err := d.Write(t.Context(), func(tx *sqlx.Tx) error {
				_, err := ledgerdb.Append(t.Context(), tx, h, issueDraft(9))
				return err
			})
			if !errors.Is(err, ledgerdb.ErrHeadMoved) {
				t.Errorf("%s: error %v, want %v", name, err, ledgerdb.ErrHeadMoved)
			}
		}
		if head, err := verify(t, d, "yard"); err != nil || head != facts[2].Head() {
			t.Errorf("Verify() = %+v, %v, want the ledger as before", head, err)
		}
	})
}

func TestRefusedDraftWritesNothing(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, open func() *db.DB) {
		d := open()
		addIssues(t, d, "yard", 1)
		nobody := issueDraft(2)
		nobody.By = ""
		err := appendOne(t, d, "yard", nobody)
		if _, ok := errors.AsType[*ledger.FieldError](err); !ok {
			t.Errorf("error %v, want a *ledger.FieldError", err)
		}
		if head, err := verify(t, d, "yard"); err != nil || head.Seq != 1 {
			t.Errorf("Verify() = %d facts, %v, want 1", head.Seq, err)
		}
	})
}

func TestFactIsSupersededOnce(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, open func() *db.DB) {
		d := open()
		addIssues(t, d, "yard", 2)
		first := add(t, d, "yard", correction(3, 1))[0]
		err := appendOne(t, d, "yard", correction(4, 1))
		e, ok := errors.AsType[*ledgerdb.SupersededError](err)
		if want := (ledgerdb.SupersededError{Site: "yard", ID: id(1), By: id(3)}); !ok || *e != want {
			t.Errorf("second correction of one fact: error %v, want %v", err, &want)
		}
		add(t, d, "yard", correction(5, 3)) // a correction may be corrected
		read(t, d, func(tx *sqlx.Tx) error {
			got, found, err := ledgerdb.SupersededBy(t.Context(), tx, "yard", id(1))
			if !found || got != first {
				t.Errorf("SupersededBy(1) = %+v, %t, want %+v", got, found, first)
			}
			if err != nil {
				return err
			}
			_, found, err = ledgerdb.SupersededBy(t.Context(), tx, "yard", id(2))
			if found {
				t.Error("a fact that nothing supersedes is said to be superseded")
			}
			return err
		})
	})
}

func TestOnlyAKnownFactIsSuperseded(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, open func() *db.DB) {
		d := open()
		addIssues(t, d, "yard", 1)
		addIssues(t, d, "annex", 2)
		if err := appendOne(t, d, "yard", correction(3, 2)); !errors.Is(err, db.ErrNotFound) {
			t.Errorf("correction of another site's fact: error %v, want %v", err, db.ErrNotFound)
		}
	})
}

// The database itself keeps the two promises that the code asks about first.
func TestUniqueKeysStandInTheDatabase(t *testing.T) {
	t.Parallel()
	columns := `site, seq, id, kind, at_us, noted_us, by_who, via, body, supersedes, reason, prev, hash, encoding`
	values := `'yard', $1, $2, 'k', 0, 0, 'b', 'v', '{}', $3, 'r', $4, $4, 1`
	dbtest.Each(t, func(t *testing.T, open func() *db.DB) {
		d := open()
		addIssues(t, d, "yard", 2)
		add(t, d, "yard", correction(3, 1))
		for name, c := range map[string]struct {
			seq            int
			id, supersedes string
		}{
			"number": {3, id(9), ""}, "id": {4, id(2), ""}, "superseded fact": {4, id(9), id(1)},
		} {
			err := d.Write(t.Context(), func(tx *sqlx.Tx) error {
				_, err := tx.Exec(`INSERT INTO fact (`+columns+`) VALUES (`+values+`)`,
					c.seq, c.id, c.supersedes, ledger.Genesis)
				return err
			})
			if err == nil {
				t.Errorf("a second fact with the same %s was taken", name)
			}
		}
	})
}
