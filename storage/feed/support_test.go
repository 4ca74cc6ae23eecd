package feed_test

import (
	"encoding/csv"
	"strings"
	"testing"
	"time"
	_ "time/tzdata" // the zones of the tests, wherever they run

	"ovenward/inventory/measure"
	"ovenward/storage/feed"
)

func zone(t testing.TB, name string) *time.Location {
	t.Helper()
	z, err := time.LoadLocation(name)
	if err != nil {
		t.Fatal(err)
	}
	return z
}

func celsius(t testing.TB, text string) measure.Temperature {
	t.Helper()
	v, err := measure.ParseTemperature(text)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// utc is an instant written in RFC 3339.
func utc(t testing.TB, text string) measure.Instant {
	t.Helper()
	v, err := time.Parse(time.RFC3339Nano, text)
	if err != nil {
		t.Fatal(err)
	}
	return measure.At(v)
}

// read reads a whole text.
func read(text string, m feed.Mapping, z *time.Location) ([]feed.Row, feed.Summary, error) {
	var rows []feed.Row
	sum, err := feed.Read(strings.NewReader(text), m, z, func(r feed.Row) error {
		rows = append(rows, r)
		return nil
	})
	return rows, sum, err
}

// one reads a file of one row, with its cells quoted as they need.
func one(m feed.Mapping, z *time.Location, cells ...string) (feed.Row, error) {
	var b strings.Builder
	w := csv.NewWriter(&b)
	w.UseCRLF = false
	header := []string{"time", "temp", "sensor"}[:len(cells)]
	if err := w.WriteAll([][]string{header, cells}); err != nil {
		return feed.Row{}, err
	}
	rows, _, err := read(b.String(), m, z)
	if err != nil {
		return feed.Row{}, err
	}
	if len(rows) != 1 {
		return feed.Row{}, csv.ErrFieldCount
	}
	return rows[0], nil
}
