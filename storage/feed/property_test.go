package feed_test

import (
	"encoding/csv"
	"fmt"
	"maps"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"ovenward/inventory/measure"
	"ovenward/storage/feed"
)

// clocks are zones that do all that clocks do: change by an hour and by half of
// one, change twice in a few weeks, skip a day, never change, lie far behind and
// far ahead.
func clocks(t *testing.T) []*time.Location {
	t.Helper()
	var all []*time.Location
	for _, name := range []string{"UTC", "America/Halifax", "America/St_Johns", "Australia/Lord_Howe", "Africa/Casablanca",
		"Pacific/Apia", "Asia/Kolkata", "Europe/Dublin", "America/Sao_Paulo", "Etc/GMT-14", "Etc/GMT+12"} {
		all = append(all, zone(t, name))
	}
	return all
}

// drawWall draws a wall-clock time, often one near a change of the zone's.
func drawWall(t *rapid.T, z *time.Location) time.Time {
	const year1950, year2100 = -631_152_000, 4_102_444_800
	at := time.Unix(rapid.Int64Range(year1950, year2100).Draw(t, "seconds"), 0).In(z)
	if _, change := at.ZoneBounds(); !change.IsZero() && rapid.Bool().Draw(t, "near a change") {
		at = change.Add(time.Duration(rapid.IntRange(-100_000, 100_000).Draw(t, "from it")) * time.Second)
	}
	_, offset := at.Zone()
	return at.UTC().Add(time.Duration(offset) * time.Second)
}

// The quick way must read times as package measure does, on every clock and
// around its changes.
func TestTimesAreReadAsMeasureReadsThem(t *testing.T) {
	t.Parallel()
	forms := []string{"2006-01-02 15:04:05", "2006-01-02 15:04", "2006-01-02T15:04:05", "2006-01-02T15:04",
		"2006-01-02T15:04:05Z07:00", "2006-01-02T15:04:05.999Z07:00", "2006-01-02 15:04:05.000000001",
		"2006-01-02 15:04:05 MST", "2006-01-02 15:04:05 -07:00", "2006-01-02 3:04", "2006-1-2 15:04"}
	zones := clocks(t)
	rapid.Check(t, func(t *rapid.T) {
		z := rapid.SampledFrom(zones).Draw(t, "zone")
		// Several times in one file, for what is remembered from row to row.
		var cells []string
		for range rapid.IntRange(1, 8).Draw(t, "times") {
			form := rapid.SampledFrom(forms).Draw(t, "form")
			wall := drawWall(t, z).Add(time.Duration(rapid.Int64Range(0, 999_999_999).Draw(t, "nanoseconds")))
			cells = append(cells, wall.Format(form))
		}
		agrees(t, z, cells)
	})
}

// fataler is what tests, fuzz targets and properties have in common.
type fataler interface {
	Helper()
	Fatalf(string, ...any)
}

// agrees checks that cells are read, or refused, as measure.ParseInstant does.
func agrees(t fataler, z *time.Location, cells []string) {
	t.Helper()
	var want, got []measure.Instant
	bad := int64(0)
	for _, c := range cells {
		at, err := measure.ParseInstant(c, z)
		if err != nil {
			bad++
			continue
		}
		want = append(want, at)
	}
	rows, _, err := read("time\ttemp (C)\n"+strings.Join(cells, "\t1\n")+"\t1\n", feed.Mapping{Time: "time", Value: "temp"}, z)
	if refused, ok := err.(*feed.RowErrors); (ok && refused.Count != bad) || (!ok && (err != nil || bad != 0)) {
		t.Fatalf("%q in %v: %v, want %d refused", cells, z, err, bad)
	}
	for _, r := range rows {
		got = append(got, r.At)
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Fatalf("%q in %v (-measure +feed):\n%s", cells, z, diff)
	}
}

// A layout reads what it describes as the ISO form of the same time is read.
func TestLayoutsReadWhatTheyDescribe(t *testing.T) {
	t.Parallel()
	layouts := map[string]string{"DD.MM.YYYY hh:mm:ss": "02.01.2006 15:04:05", "M/D/YYYY h:mm:ss PM": "1/2/2006 3:04:05 PM",
		"YYYYMMDDhhmmss": "20060102150405", "hh.mm.ss D-M-YYYY": "15.04.05 2-1-2006", "YYYY-MM-DDThh:mm:ss": "2006-01-02T15:04:05"}
	zones := clocks(t)
	rapid.Check(t, func(t *rapid.T) {
		layout := rapid.SampledFrom(slices.Sorted(maps.Keys(layouts))).Draw(t, "layout")
		z := rapid.SampledFrom(zones).Draw(t, "zone")
		wall := drawWall(t, z)
		want, errWant := measure.ParseInstant(wall.Format(time.DateTime), z)
		got, err := one(feed.Mapping{Time: "time", Value: "temp", Layout: layout}, z, wall.Format(layouts[layout]), "1 C")
		if (err == nil) != (errWant == nil) || (err == nil && got.At != want) {
			t.Fatalf("%v: %v, %v, want %v, %v", wall, got.At, err, want, errWant)
		}
	})
}

func TestTemperaturesAreReadAsMeasureReadsThem(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		number := rapid.StringMatching(`-?[0-9]{1,9}([.,][0-9]{1,8})?`).Draw(t, "number")
		unit := rapid.SampledFrom([]string{"C", "F", " C", " F", "°C", " °F", "c", " deg F", "K"}).Draw(t, "unit")
		sameTemperature(t, number+unit, "", number+unit)
		for _, u := range []string{"C", "F"} {
			sameTemperature(t, number, u, number+" "+u)
		}
	})
}

// sameTemperature checks that a cell in a column of a unit is read as text is
// by measure.ParseTemperature.
func sameTemperature(t fataler, cell, unit, text string) {
	t.Helper()
	want, errWant := measure.ParseTemperature(text)
	got, err := one(feed.Mapping{Time: "time", Value: "temp", Unit: unit}, time.UTC, "2025-06-05 06:40", cell)
	if (err == nil) != (errWant == nil) || (err == nil && got.Temp != want) {
		t.Fatalf("%q (%s): %d, %v, want %d, %v", cell, unit, got.Temp, err, want, errWant)
	}
}

// What the standard library writes as CSV comes back cell by cell.
func TestCellsComeBackAsWritten(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		comma := rapid.SampledFrom([]rune{',', ';', '\t'}).Draw(t, "delimiter")
		var b strings.Builder
		w := csv.NewWriter(&b)
		w.Comma = comma
		records := [][]string{{"time", "temp (C)", "note", "oven"}}
		var want []feed.Row
		for i := range rapid.IntRange(1, 20).Draw(t, "rows") {
			note := rapid.StringOf(rapid.SampledFrom([]rune("a\",;\t\n é°"))).Draw(t, "note")
			oven := rapid.StringMatching(`[A-Za-zé]["",;é a-z]{0,6}[a-z]`).Draw(t, "oven")
			records = append(records, []string{fmt.Sprintf("2025-06-05 06:%02d", i), "130.5", note, oven})
			want = append(want, feed.Row{Sensor: oven, Temp: measure.Celsius(130) + measure.Degree/2,
				At: measure.At(time.Date(2025, 6, 5, 6, i, 0, 0, time.UTC))})
		}
		if err := w.WriteAll(records); err != nil {
			t.Fatal(err)
		}
		rows, _, err := read(b.String(), feed.Mapping{Time: "time", Value: "temp", Sensor: "oven"}, time.UTC)
		if err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(want, withoutLines(rows)); diff != "" {
			t.Fatalf("rows of %q (-want +got):\n%s", b.String(), diff)
		}
	})
}
