package app_test

import (
	"errors"
	"net/url"
	"testing"
	"time"

	"github.com/jmoiron/sqlx"

	"ovenward/inventory/ledgerdb"
	"ovenward/migrations/db"
	"ovenward/migrations/db/dbtest"
)

// A site that another program holds for longer than a person waits is told to be
// busy, and nothing is written.
func TestHeldDatabaseIsBusy(t *testing.T) {
	t.Parallel()
	dbtest.Whole(t, func(t *testing.T, open func() *db.DB) {
		t.Parallel()
		s := newShop(t, open(), "yard")
		s.can("K1", 50)
		before := s.state()
		release := hold(t, open(), s.Site)
		_, err := s.through("window-2", open()).ask(issue("S1", "K1", 10))
		if !errors.Is(err, db.ErrBusy) {
			t.Errorf("issue while another program holds the site: %v, want %v", err, db.ErrBusy)
		}
		release()
		s.wantState(before)
		s.do(issue("S1", "K1", 10))
		s.sound()
	}, db.WithPatience(200*time.Millisecond))
}

// hold keeps a site's ledger locked until it is released.
func hold(t *testing.T, d *db.DB, site string) (release func()) {
	t.Helper()
	held, let, ended := make(chan struct{}), make(chan struct{}), make(chan error)
	go func() {
		ended <- d.Write(t.Context(), func(tx *sqlx.Tx) error {
			if _, err := ledgerdb.Lock(t.Context(), tx, site); err != nil {
				return err
			}
			close(held)
			<-let
			return nil
		})
	}()
	<-held
	return func() {
		close(let)
		if err := <-ended; err != nil {
			t.Error(err)
		}
	}
}

// Where nothing may be written the program says so, still shows what there is
// and leaves it alone.
func TestReadOnlyDatabaseIsNamed(t *testing.T) {
	t.Parallel()
	for name, readOnly := range map[string]func(t *testing.T) (s, reader *shop){"sqlite": readOnlyFile, "postgres": readOnlyUser} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			s, reader := readOnly(t)
			before := s.state()
			if _, err := reader.ask(issue("S1", "K1", 10)); !errors.Is(err, db.ErrReadOnly) {
				t.Errorf("issue: %v, want %v", err, db.ErrReadOnly)
			}
			if err := reader.Rebuild(t.Context()); !errors.Is(err, db.ErrReadOnly) {
				t.Errorf("rebuild: %v, want %v", err, db.ErrReadOnly)
			}
			s.wantState(before)
			if list, err := reader.Stock(t.Context(), 0); err != nil || len(list) != 1 {
				t.Errorf("Stock() = %d bundles, %v, want the one there is", len(list), err)
			}
			reader.sound()
		})
	}
}

// readOnlyFile is a shop whose one writing connection may not write.
func readOnlyFile(t *testing.T) (s, reader *shop) {
	s = newShop(t, dbtest.SQLite(t), "yard")
	s.can("K1", 50)
	err := s.DB.Write(t.Context(), func(tx *sqlx.Tx) error {
		_, err := tx.Exec(`PRAGMA query_only = 1`)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return s, s
}

// readOnlyUser is a shop with a reader whose role may only read.
func readOnlyUser(t *testing.T) (s, reader *shop) {
	dsn := dbtest.Server(t)
	s = newShop(t, dbtest.Open(t, dsn), "yard")
	s.can("K1", 50)
	u, err := url.Parse(dsn)
	if err != nil {
		t.Fatal(err)
	}
	q := u.Query()
	q.Set("role", "pg_read_all_data")
	u.RawQuery = q.Encode()
	return s, s.through("office", dbtest.Open(t, u.String()))
}
