package app_test

import (
	"fmt"
	"testing"

	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/migrations/db"
	"ovenward/migrations/db/dbtest"
	"ovenward/storage/ovendb"
)

// BenchmarkWatch looks at a crib as it does every minute: 5 holding ovens read
// every minute for ten days, 20 bundles in each, 20 slips out.
func BenchmarkWatch(b *testing.B) {
	dbtest.EachB(b, func(b *testing.B, open func() *db.DB) {
		c := newCrib(b, open(), "yard")
		c.record("2025-06-04 07:00", &inventory.Opened{Bundle: "K1", Into: "H1"})
		for oven := range 5 {
			name := fmt.Sprintf("O%d", oven)
			c.record("2025-06-04 07:00", &inventory.PlaceSet{Place: name, SortKind: "holding oven"})
			c.minuteReadings(name, "2025-06-04 07:00", 10*measure.Day)
			for i := range 20 {
				c.record("2025-06-04 07:00", &inventory.Moved{Bundle: "K1", Into: name, Pieces: 4, As: fmt.Sprintf("L%d-%d", oven, i)})
			}
		}
		c.minuteReadings("H1", "2025-06-04 07:00", 10*measure.Day)
		for i := range 20 {
			c.record("2025-06-14 05:00", &inventory.Issued{Slip: fmt.Sprint("S", i), Bundle: fmt.Sprintf("L%d-%d", i%5, i/5), Pieces: 1, Welder: "W3"})
		}
		c.watch("2025-06-14 06:00")
		at := c.at("2025-06-14 06:00")
		for b.Loop() {
			at += 1000
			if _, _, err := c.app.Watch(b.Context(), at); err != nil {
				b.Fatal(err)
			}
		}
	})
}

func (c *crib) minuteReadings(place, from string, d measure.Duration) {
	c.t.Helper()
	s, err := c.app.Sensor(c.t.Context(), "Oakes", place, c.at(from))
	if err != nil {
		c.t.Fatal(err)
	}
	var list []ovendb.Reading
	for i := range d / measure.Minute {
		list = append(list, ovendb.Reading{Sensor: s.Name, At: c.at(from).Add(i * measure.Minute), Temp: measure.Celsius(130)})
	}
	if _, err := c.app.AddReadings(c.t.Context(), list); err != nil {
		c.t.Fatal(err)
	}
}
