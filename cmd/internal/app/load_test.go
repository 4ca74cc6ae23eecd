package app_test

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"ovenward/cmd/internal/app"
	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/migrations/db"
	"ovenward/migrations/db/dbtest"
	"ovenward/storage/evidence"
	"ovenward/storage/feed"
)

// TestAnyOrderAndPiecesAndTwiceGiveTheSameReadings loads a month of readings in
// files of any cut and order, each row twice.
func TestAnyOrderAndPiecesAndTwiceGiveTheSameReadings(t *testing.T) {
	t.Parallel()
	dbtest.Whole(t, func(t *testing.T, open func() *db.DB) {
		d, n := open(), 0
		rapid.Check(t, func(rt *rapid.T) {
			n++
			l := newLoggers(t, rt, d, fmt.Sprint("site ", n))
			start := l.at("2025-06-01 00:00")
			want := map[string][]evidence.Reading{}
			var rows []string
			for name, sensor := range map[string]string{"H1": "T-1", "H2": "H2"} {
				for _, m := range rapid.SliceOfNDistinct(rapid.IntRange(0, 30*24*60), 1, 60, rapid.ID[int]).Draw(rt, name) {
					r := evidence.Reading{At: start.Add(measure.Duration(m) * measure.Minute),
						Temp: measure.Temperature(rapid.IntRange(200, 1900).Draw(rt, "tenths")) * measure.Degree / 10}
					want[sensor] = append(want[sensor], r)
					rows = append(rows, l.row(r, name))
				}
				slices.SortFunc(want[sensor], func(a, b evidence.Reading) int { return int(a.At - b.At) })
			}
			added, known := int64(0), int64(0)
			for range 2 {
				rows = rapid.Permutation(rows).Draw(rt, "order")
				for rest := rows; len(rest) > 0; {
					k := rapid.IntRange(1, len(rest)).Draw(rt, "piece")
					sum := l.mustLoad(rest[:k]...)
					added, known, rest = added+sum.Added, known+sum.Known, rest[k:]
				}
			}
			if added != int64(len(rows)) || known != int64(len(rows)) {
				rt.Errorf("%d rows twice: %d added and %d known", len(rows), added, known)
			}
			if diff := cmp.Diff(want, l.stored("H1", "H2")); diff != "" {
				rt.Errorf("(-want +got):\n%s", diff)
			}
		})
	})
}

// A file of several chunks, of which some rows are stored already as a load that
// was killed leaves them.
func TestLoadGoesOnWhereAnotherWasStopped(t *testing.T) {
	t.Parallel()
	dbtest.Whole(t, func(t *testing.T, open func() *db.DB) {
		const n = 45_000 // two chunks of 20,000 and one of 5,000
		l := newLoggers(t, t, open(), "main")
		rows := make([]string, n)
		for i := range rows {
			at := l.at("2025-06-01 00:00").Add(measure.Duration(i/2) * measure.Second)
			rows[i] = l.row(evidence.Reading{At: at, Temp: measure.Celsius(int64(120 + i%60))}, []string{"H1", "H2"}[i%2])
		}
		if sum := l.mustLoad(rows[10_000:31_000]...); sum.Added != 21_000 {
			t.Fatalf("the first load added %d, want 21000", sum.Added)
		}
		sum := l.mustLoad(rows...)
		if sum.Good != n || sum.Added != n-21_000 || sum.Known != 21_000 || sum.Conflicts.Count != 0 || sum.Bad.Count != 0 {
			t.Errorf("good %d, added %d, known %d, conflicts %d, bad %d, want 45000, 24000, 21000, 0 and 0",
				sum.Good, sum.Added, sum.Known, sum.Conflicts.Count, sum.Bad.Count)
		}
		stored := l.stored("H1", "H2")
		if len(stored["T-1"]) != n/2 || len(stored["H2"]) != n/2 {
			t.Errorf("%d and %d readings are stored, want 22500 each", len(stored["T-1"]), len(stored["H2"]))
		}
	})
}

func TestReadingWithAnotherValueStaysAsFirstStored(t *testing.T) {
	t.Parallel()
	dbtest.Whole(t, func(t *testing.T, open func() *db.DB) {
		l := newLoggers(t, t, open(), "main")
		l.mustLoad("2025-06-05 06:00,130,H1", "2025-06-05 06:30,131,H1")
		sum := l.mustLoad(
			"2025-06-05 07:00,132,H1",
			"2025-06-05 06:30,118,T-1", // the sensor's own name
			"2025-06-05 06:00,130,H1",
			"2025-06-05 07:00,99,H1") // the second of this file
		want := app.Conflicts{Count: 2, First: []app.Conflict{
			{Line: 3, Sensor: "T-1", At: l.at("2025-06-05 06:30"), Stored: measure.Celsius(131), File: measure.Celsius(118)},
			{Line: 5, Sensor: "T-1", At: l.at("2025-06-05 07:00"), Stored: measure.Celsius(132), File: measure.Celsius(99)},
		}}
		slices.SortFunc(sum.Conflicts.First, func(a, b app.Conflict) int { return int(a.Line - b.Line) })
		if diff := cmp.Diff(want, sum.Conflicts); diff != "" || sum.Added != 1 || sum.Known != 1 {
			t.Errorf("added %d, known %d, want 1 and 1 (-want +got):\n%s", sum.Added, sum.Known, diff)
		}
		readings := []evidence.Reading{{At: l.at("2025-06-05 06:00"), Temp: measure.Celsius(130)},
			{At: l.at("2025-06-05 06:30"), Temp: measure.Celsius(131)}, {At: l.at("2025-06-05 07:00"), Temp: measure.Celsius(132)}}
		if diff := cmp.Diff(map[string][]evidence.Reading{"T-1": readings}, l.stored("H1")); diff != "" {
			t.Errorf("(-want +got):\n%s", diff)
		}
	})
}

func columns(value, unit, layout string) feed.Mapping {
	return feed.Mapping{Time: "time", Value: value, Sensor: "oven", Unit: unit, Layout: layout}
}

func TestWrongFileStoresNothing(t *testing.T) {
	t.Parallel()
	const good = "2025-06-05 06:00,130,H2"
	cases := []struct {
		name, text, place string
		mapping           feed.Mapping
		options           app.LoadOptions
		why               string
	}{
		{"wrong column", table(good), "", columns("temperature", "", ""), app.LoadOptions{},
			`column "temperature" for the value: not found; the file has "time", "temp (C)", "oven"`},
		{"cut inside a row", table(good) + "2025-06-05 06:30,131", "", fileColumns, app.LoadOptions{}, "the file was cut"},
		{"wrong layout", table(good), "", columns("temp", "", "DD.MM"), app.LoadOptions{}, "no Y in it"},
		{"wrong unit", table(good), "", columns("temp", "K", ""), app.LoadOptions{}, "unknown"},
		{"two units", table(good), "", columns("temp", "F", ""), app.LoadOptions{}, "one of them is wrong"},
		{"not text", "\x7fELF\x00\x00", "", fileColumns, app.LoadOptions{}, "not plain text"},
		{"a workbook that is cut", "PK\x03\x04\x00\x00", "", fileColumns, app.LoadOptions{}, "not a workbook that can be read"},
		{"empty", "", "", fileColumns, app.LoadOptions{}, "the file is empty"},
		{"header only", table(), "", fileColumns, app.LoadOptions{}, "there is no reading below the header"},
		{"not one good row", table("2025-06-05 06:00,warm,H2", "2025-06-05 06:00,130,H7"), "", fileColumns, app.LoadOptions{},
			"not one of its rows can be loaded"},
		{"a bad row under strict", table(good, "2025-06-05 06:00,warm,H2"), "", fileColumns, app.LoadOptions{Strict: true},
			"1 of its rows cannot be loaded"},
		{"nobody's", table(good), "", feed.Mapping{Time: "time", Value: "temp"}, app.LoadOptions{}, "nothing says whose"},
		{"two ways to say whose", table(good), "H2", fileColumns, app.LoadOptions{}, "both"},
	}
	dbtest.Whole(t, func(t *testing.T, open func() *db.DB) {
		l := newLoggers(t, t, open(), "main")
		before := l.written()
		for _, c := range cases {
			_, err := l.load(c.text, c.place, c.mapping, c.options)
			bad, ok := errors.AsType[*app.LoadError](err)
			if !ok || !strings.Contains(err.Error(), c.why) || !strings.HasPrefix(err.Error(), "log.csv: ") || bad.Hint() == "" {
				t.Errorf("%s: %v, want a *LoadError that names the file, %q and a next step", c.name, err, c.why)
			}
			if after := l.written(); after != before {
				t.Errorf("%s: %s before and %s after", c.name, before, after)
			}
		}
	})
}

func TestDryRunStoresNothingAndSaysWhatWould(t *testing.T) {
	t.Parallel()
	dbtest.Whole(t, func(t *testing.T, open func() *db.DB) {
		l := newLoggers(t, t, open(), "main")
		before := l.written()
		file := table("2025-06-05 06:00,130,H2", "2025-06-05 06:30,x,H2")
		sum, err := l.load(file, "", fileColumns, app.LoadOptions{DryRun: true})
		if err != nil || sum.Good != 1 || sum.Bad.Count != 1 || sum.Added != 0 {
			t.Errorf("good %d, bad %d, added %d, %v, want 1, 1, 0 and none", sum.Good, sum.Bad.Count, sum.Added, err)
		}
		if len(sum.Sensors) != 1 || sum.Sensors[0].Sensor != "H2" || !sum.Sensors[0].New {
			t.Errorf("sensors %+v, want the new H2", sum.Sensors)
		}
		if after := l.written(); after != before {
			t.Errorf("%s before and %s after", before, after)
		}
	})
}

func TestUnknownPlaceAndNobodyAreRefused(t *testing.T) {
	t.Parallel()
	dbtest.Whole(t, func(t *testing.T, open func() *db.DB) {
		l := newLoggers(t, t, open(), "main")
		before := l.written()
		one := feed.Mapping{Time: "time", Value: "temp"}
		refused := func(err error, code inventory.Code) {
			t.Helper()
			if ref, ok := errors.AsType[*inventory.Refusal](err); !ok || ref.Code != code || ref.Next == "" {
				t.Errorf("%v, want a refusal %s with a next step", err, code)
			}
		}
		_, err := l.load(table("2025-06-05 06:00,130,"), "H7", one, app.LoadOptions{})
		refused(err, inventory.Unknown)
		_, err = l.load(table("2025-06-05 06:00,130,"), "H3", one, app.LoadOptions{}) // has two sensors
		refused(err, inventory.Unknown)
		nobodys := strings.NewReader(table("2025-06-05 06:00,130,"))
		_, err = l.app.LoadReadings(t.Context(), "", nobodys, one, "H2", app.LoadOptions{})
		refused(err, inventory.NotAuthorised) // H2 needs a sensor
		if after := l.written(); after != before {
			t.Errorf("%s before and %s after", before, after)
		}
	})
}

func TestStoppedLoadSaysSo(t *testing.T) {
	t.Parallel()
	l := newLoggers(t, t, dbtest.SQLite(t), "main")
	ctx, stop := context.WithCancel(t.Context())
	stop()
	file := strings.NewReader(table("2025-06-05 06:00,130,H1"))
	_, err := l.app.LoadReadings(ctx, "Oakes", file, fileColumns, "", app.LoadOptions{})
	if !errors.Is(err, context.Canceled) {
		t.Errorf("LoadReadings() = %v, want that it was stopped", err)
	}
}
