package ovendb_test

import (
	"errors"
	"testing"

	"github.com/jmoiron/sqlx"

	"ovenward/inventory"
	"ovenward/inventory/stockdb"
	"ovenward/migrations/db"
	"ovenward/migrations/db/dbtest"
	"ovenward/storage/ovendb"
)

// A name in other letters is meant where one place or sensor alone has it; where two
// differ in their letters alone, each answers to its own.
func TestNamesAreOneInCapitalAndInSmallLetters(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, open func() *db.DB) {
		s := newSite(t, open(), "yard")
		s.apply(&inventory.PlaceSet{Place: "Öfen 1", SortKind: "holding oven"}, &inventory.PlaceSet{Place: "H2", SortKind: "holding oven"},
			&inventory.PlaceSet{Place: "h2", SortKind: "shelf"}, &inventory.SensorSet{Sensor: "T-17", Place: "Öfen 1"})
		s.read(func(tx *sqlx.Tx) error {
			for asked, want := range map[string]string{"öFEN 1": "Öfen 1", "H2": "H2", "h2": "h2", "STORE": "store", "Open Air": "open air"} {
				if p, err := stockdb.Place(t.Context(), tx, "yard", asked); err != nil || p.Name != want {
					t.Errorf("place %q is %q, %v, want %q", asked, p.Name, err, want)
				}
			}
			if found, err := ovendb.FindSensor(t.Context(), tx, "yard", "t-17"); err != nil || found.Name != "T-17" {
				t.Errorf("sensor t-17 is %+v, %v, want T-17", found, err)
			}
			if _, err := ovendb.FindSensor(t.Context(), tx, "yard", "t-18"); !errors.Is(err, db.ErrNotFound) {
				t.Errorf("sensor t-18: %v, want not found", err)
			}
			if _, err := stockdb.Place(t.Context(), tx, "annex", "h2"); !errors.Is(err, db.ErrNotFound) {
				t.Errorf("place of another site: %v, want not found", err)
			}
			return nil
		})
	})
}
