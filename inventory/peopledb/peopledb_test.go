package peopledb_test

import (
	"fmt"
	"sync"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/jmoiron/sqlx"

	"ovenward/inventory"
	"ovenward/inventory/ledger"
	"ovenward/inventory/measure"
	"ovenward/inventory/peopledb"
	"ovenward/migrations/db"
	"ovenward/migrations/db/dbtest"
)

// Every test keeps to a site of its own on one database of each engine.
func TestStore(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, open func() *db.DB) {
		t.Parallel()
		d := open()
		t.Run("every field is read back", func(t *testing.T) { everyFieldIsReadBack(t, d) })
		t.Run("who ever held an office stays among those who did", func(t *testing.T) { officeStays(t, d) })
		t.Run("welders are known from their first day on", func(t *testing.T) { weldersSince(t, d) })
		t.Run("training is kept once", func(t *testing.T) { trainingOnce(t, d) })
		t.Run("two writers", func(t *testing.T) { twoWriters(t, d, open()) })
		t.Run("a failed transaction leaves nothing", func(t *testing.T) { failureLeavesNothing(t, d) })
	})
}

// apply applies entries as the facts from a number on, in one transaction.
func apply(t *testing.T, d *db.DB, site string, from int64, entries ...*inventory.PersonSet) error {
	t.Helper()
	return d.Write(t.Context(), func(tx *sqlx.Tx) error {
		for i, e := range entries {
			f := ledger.Fact{Site: site, Seq: from + int64(i), Kind: e.Kind(), By: "A1"}
			if err := peopledb.Apply(t.Context(), tx, f, e); err != nil {
				return err
			}
		}
		return nil
	})
}

func do(t *testing.T, d *db.DB, site string, entries ...*inventory.PersonSet) {
	t.Helper()
	if err := apply(t, d, site, 1, entries...); err != nil {
		t.Fatal(err)
	}
}

// read returns what a reader of the package gives.
func read[T any](t *testing.T, d *db.DB, fn func(tx *sqlx.Tx) (T, error)) (out T) {
	t.Helper()
	err := d.Read(t.Context(), func(tx *sqlx.Tx) (err error) {
		out, err = fn(tx)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return out
}

func all(t *testing.T, d *db.DB, site string) []inventory.Person {
	t.Helper()
	return read(t, d, func(tx *sqlx.Tx) ([]inventory.Person, error) { return peopledb.All(t.Context(), tx, site) })
}

func training(t *testing.T, d *db.DB, site, badge string) []peopledb.Trained {
	t.Helper()
	return read(t, d, func(tx *sqlx.Tx) ([]peopledb.Trained, error) { return peopledb.Training(t.Context(), tx, site, badge) })
}

// A later fact of a badge, as a correction is, does not hide the earlier one:
// what was allowed before is asked of both.
func everyFieldIsReadBack(t *testing.T, d *db.DB) {
	do(t, d, "fields",
		&inventory.PersonSet{Person: "B2", Name: "Ruth", Roles: []inventory.Role{inventory.QA, inventory.Foreman}, Since: "2025-01-02", Until: "2026-01-02"},
		&inventory.PersonSet{Person: "B1", Name: "Ines", Since: "2025-03-01"},
		&inventory.PersonSet{Person: "B2", Name: "Ruth O'Hara", Roles: []inventory.Role{inventory.QA}, Since: "2025-04-01"})
	ruth := []inventory.Person{
		{Badge: "B2", Name: "Ruth", Roles: []inventory.Role{inventory.QA, inventory.Foreman}, Since: "2025-01-02", Until: "2026-01-02", Seq: 1},
		{Badge: "B2", Name: "Ruth O'Hara", Roles: []inventory.Role{inventory.QA}, Since: "2025-04-01", Seq: 3}}
	want := append([]inventory.Person{{Badge: "B1", Name: "Ines", Since: "2025-03-01", Seq: 2}}, ruth...)
	if diff := cmp.Diff(want, all(t, d, "fields")); diff != "" {
		t.Errorf("All (-want +got):\n%s", diff)
	}
	got := read(t, d, func(tx *sqlx.Tx) ([]inventory.Person, error) { return peopledb.Of(t.Context(), tx, "fields", "B2") })
	if diff := cmp.Diff(ruth, got); diff != "" {
		t.Errorf("Of (-want +got):\n%s", diff)
	}
}

// What Office gives holds every fact of such a person: those before the office,
// so that an act of then is judged by them, and the one that ends it.
func officeStays(t *testing.T, d *db.DB) {
	welder, qa := []inventory.Role{inventory.Welder}, []inventory.Role{inventory.QA}
	do(t, d, "office", &inventory.PersonSet{Person: "B1", Roles: welder, Since: "2025-01-01"},
		&inventory.PersonSet{Person: "B1", Roles: qa, Since: "2025-02-01"}, &inventory.PersonSet{Person: "B1", Roles: welder, Since: "2025-03-01"},
		&inventory.PersonSet{Person: "W3", Roles: welder, Since: "2025-01-01"})
	got := read(t, d, func(tx *sqlx.Tx) ([]inventory.Person, error) { return peopledb.Office(t.Context(), tx, "office") })
	want := []inventory.Person{{Badge: "B1", Roles: welder, Since: "2025-01-01", Seq: 1}, {Badge: "B1", Roles: qa, Since: "2025-02-01", Seq: 2},
		{Badge: "B1", Roles: welder, Since: "2025-03-01", Seq: 3}}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("Office (-want +got):\n%s", diff)
	}
}

func weldersSince(t *testing.T, d *db.DB) {
	do(t, d, "welders", &inventory.PersonSet{Person: "B1", Roles: []inventory.Role{inventory.QA}, Since: "2025-01-01"},
		&inventory.PersonSet{Person: "W3", Roles: []inventory.Role{inventory.Foreman, inventory.Welder}, Since: "2025-02-10"})
	for day, want := range map[measure.Date]bool{"2025-02-09": false, "2025-02-10": true} {
		got := read(t, d, func(tx *sqlx.Tx) (bool, error) { return peopledb.HasWelders(t.Context(), tx, "welders", day) })
		if got != want {
			t.Errorf("HasWelders on %s = %v, want %v", day, got, want)
		}
	}
}

func trainingOnce(t *testing.T, d *db.DB) {
	on := func(rules, day string) inventory.Training { return inventory.Training{Rules: rules, On: day} }
	do(t, d, "training", &inventory.PersonSet{Person: "B2", Since: "2025-01-01", Trained: []inventory.Training{on("code-b", "2025-03-01"), on("code-a", "2025-02-01")}},
		&inventory.PersonSet{Person: "B2", Since: "2025-01-01", Trained: []inventory.Training{on("code-a", "2025-02-01"), on("code-a", "2025-06-01")}},
		&inventory.PersonSet{Person: "B1", Since: "2025-01-01", Trained: []inventory.Training{on("code-a", "2025-02-02")}})
	b2 := []peopledb.Trained{{Badge: "B2", Rules: "code-a", On: "2025-02-01"}, {Badge: "B2", Rules: "code-a", On: "2025-06-01"},
		{Badge: "B2", Rules: "code-b", On: "2025-03-01"}}
	if diff := cmp.Diff(b2, training(t, d, "training", "B2")); diff != "" {
		t.Errorf("Training of B2 (-want +got):\n%s", diff)
	}
	want := append([]peopledb.Trained{{Badge: "B1", Rules: "code-a", On: "2025-02-02"}}, b2...)
	if diff := cmp.Diff(want, training(t, d, "training", "")); diff != "" {
		t.Errorf("Training (-want +got):\n%s", diff)
	}
}

// Two programs write at once; neither loses what the other wrote.
func twoWriters(t *testing.T, one, other *db.DB) {
	const each = 10
	var wg sync.WaitGroup
	for i, d := range []*db.DB{one, other} {
		wg.Go(func() {
			for n := range each {
				p := &inventory.PersonSet{Person: "B1", Since: "2025-01-01", Trained: []inventory.Training{{Rules: fmt.Sprint("set-", n), On: "2025-02-01"}}}
				if err := apply(t, d, "writers", int64(1+i*each+n), p); err != nil {
					t.Error(err)
				}
			}
		})
	}
	wg.Wait()
	if got := len(all(t, one, "writers")); got != 2*each {
		t.Errorf("%d facts of the person, want %d", got, 2*each)
	}
	if got := len(training(t, one, "writers", "B1")); got != each {
		t.Errorf("%d trainings, want %d: both wrote the same", got, each)
	}
}

func failureLeavesNothing(t *testing.T, d *db.DB) {
	welder := &inventory.PersonSet{Person: "B1", Name: "Ines", Roles: []inventory.Role{inventory.Welder}, Since: "2025-01-01"}
	do(t, d, "failed", welder)
	before := all(t, d, "failed")
	qa := &inventory.PersonSet{Person: "B1", Roles: []inventory.Role{inventory.QA}, Since: "2025-02-01", Trained: []inventory.Training{{Rules: "code-a", On: "2025-02-01"}}}
	for name, bad := range map[string]*inventory.PersonSet{
		"no badge":                 {Since: "2025-01-01"},
		"no first day":             {Person: "B3"},
		"a training without a day": {Person: "B3", Since: "2025-01-01", Trained: []inventory.Training{{Rules: "code-a"}}},
	} {
		if err := apply(t, d, "failed", 2, qa, bad); err == nil {
			t.Errorf("%s: taken", name)
		}
	}
	if diff := cmp.Diff(before, all(t, d, "failed")); diff != "" {
		t.Errorf("the people changed (-before +after):\n%s", diff)
	}
	office := read(t, d, func(tx *sqlx.Tx) ([]inventory.Person, error) { return peopledb.Office(t.Context(), tx, "failed") })
	if got := training(t, d, "failed", ""); len(got)+len(office) != 0 {
		t.Errorf("trained %v, in office %v; want nobody", got, office)
	}
}
