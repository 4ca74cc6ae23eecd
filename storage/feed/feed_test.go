package feed_test

import (
	"errors"
	"io"
	"strings"
	"testing"
	"testing/iotest"
	"time"

	"github.com/google/go-cmp/cmp"

	"ovenward/inventory/measure"
	"ovenward/storage/feed"
)

// The instants expected are worked out by hand: Halifax keeps UTC-3 in summer,
// Berlin UTC+2.
func TestReadsTheFormsOfLoggers(t *testing.T) {
	t.Parallel()
	const at, later = "2025-06-05T09:40:00Z", "2025-06-05T09:41:30Z"
	byName := feed.Mapping{Time: "time", Value: "temp"}
	tests := []struct {
		name    string
		text    string
		mapping feed.Mapping
		zone    string
		want    string // instants, temperatures and sensors
	}{
		{"commas", "time,temp (C)\n2025-06-05 06:40:00,130.5\n2025-06-05 06:41:30,131\n", byName, "",
			at + " 130.5 C\n" + later + " 131 C\n"},
		{"semicolons and decimal commas", "time;temp (C)\n2025-06-05 06:40;130,5\n", byName, "", at + " 130.5 C\n"},
		{"tabs and line ends of Windows", "time\ttemp [°F]\r\n2025-06-05 06:40\t266\r\n", byName, "", at + " 266 F\n"},
		{"byte order mark", "\ufefftime,temp °C\n2025-06-05 06:40,130.5\n", byName, "", at + " 130.5 C\n"},
		{"delimiter that is said", "sep=|\ntime|temp degC\n2025-06-05 06:40|130.5\n", byName, "", at + " 130.5 C\n"},
		{"Latin-1", "time;temp (\xb0C);oven\n2025-06-05 06:40;130,5;S\xfcd\n",
			feed.Mapping{Time: "time", Value: "temp", Sensor: "oven"}, "", at + " 130.5 C Süd\n"},
		{"quotes", "\"time\",\"temp, inside (C)\"\n\"2025-06-05 06:40\",\"130,5\"\n",
			feed.Mapping{Time: "time", Value: "temp, inside"}, "", at + " 130.5 C\n"},
		{"a quoted note of two lines", "note,time,temp\n\"door \"\"open\"\",\n2 min\",2025-06-05 06:40,130.5C\n", byName, "",
			at + " 130.5 C\n"},
		{"a doubled mark in a name", "time,temp,oven\n2025-06-05 06:40,130.5 C,\"the \"\"big\"\" one\"\n",
			feed.Mapping{Time: "1", Value: "2", Sensor: "3"}, "", at + " 130.5 C the \"big\" one\n"},
		{"a mark inside a cell", "time,temp,oven\n2025-06-05 06:40,130.5 C,3/8\" probe\n2025-06-05 06:41:30,131 C,b\n",
			feed.Mapping{Time: "time", Value: "temp", Sensor: "oven"}, "", at + " 130.5 C 3/8\" probe\n" + later + " 131 C b\n"},
		{"no line end", "time,temp (C)\n2025-06-05 06:40,130.5", byName, "", at + " 130.5 C\n"},
		{"empty lines", "\n\ntime,temp (C),\n\n2025-06-05 06:40,130.5,\n,,\n \n", byName, "", at + " 130.5 C\n"},
		{"columns in other order, in any case", "Oven,TEMP  (C),Time\nH1,130.5,2025-06-05 06:40\n",
			feed.Mapping{Time: "time", Value: "temp", Sensor: "OVEN"}, "", at + " 130.5 C H1\n"},
		{"the whole name before the name without its unit", "time,temp (C),temp\n2025-06-05 06:40,1,130.5 C\n", byName, "",
			at + " 130.5 C\n"},
		{"numbers and no header", "2025-06-05 06:40;130,5;H1\n2025-06-05 06:41:30;131;H1\n",
			feed.Mapping{Time: "1", Value: "2", Sensor: "3", Unit: "C"}, "", at + " 130.5 C H1\n" + later + " 131 C H1\n"},
		{"numbers, no header, and cells that look like numbers of columns", "3,130.5,2025-06-05 06:40\n",
			feed.Mapping{Time: "3", Value: "2", Sensor: "1", Unit: "C"}, "", at + " 130.5 C 3\n"},
		{"numbers and a header", "time,temp (C)\n2025-06-05 06:40,130.5\n", feed.Mapping{Time: "1", Value: "2"}, "",
			at + " 130.5 C\n"},
		{"unit of the mapping", "time,temp\n2025-06-05 06:40,266\n", feed.Mapping{Time: "time", Value: "temp", Unit: "°F"}, "",
			at + " 266 F\n"},
		{"unit of a cell before that of its header", "time,temp (F)\n2025-06-05 06:40,130.5 °C\n", byName, "", at + " 130.5 C\n"},
		{"decimal comma that is said", "time;temp\n2025-06-05 06:40;130,500\n2025-06-05 06:41:30;131,000 C\n",
			feed.Mapping{Time: "time", Value: "temp", Unit: "C", DecimalComma: true}, "", at + " 130.5 C\n" + later + " 131 C\n"},
		{"offset", "time,temp (C)\n2025-06-05T11:40:00+02:00,130.5\n", byName, "", at + " 130.5 C\n"},
		{"parts of a second", "time,temp (C)\n2025-06-05 06:40:00.25,130.5\n", byName, "", "2025-06-05T09:40:00.25Z 130.5 C\n"},
		{"UTC in the header", "time (UTC),temp (C)\n2025-06-05 09:40,130.5\n", byName, "", at + " 130.5 C\n"},
		{"a word that has UTC in it", "outcome time,temp (C)\n2025-06-05 06:40,130.5\n",
			feed.Mapping{Time: "outcome time", Value: "temp"}, "", at + " 130.5 C\n"},
		{"day first", "Zeit;Temperatur (°C)\n05.06.2025 11:40;130,5\n",
			feed.Mapping{Time: "Zeit", Value: "Temperatur", Layout: "DD.MM.YYYY hh:mm"}, "Europe/Berlin", at + " 130.5 C\n"},
		{"day first, behind it the offset", "Zeit;Temperatur (°C)\n05.06.25 11:40 +02:00;130,5\n",
			feed.Mapping{Time: "Zeit", Value: "Temperatur", Layout: "DD.MM.YY hh:mm"}, "", at + " 130.5 C\n"},
		{"month first, half days", "time,temp (F)\n6/5/2025 6:40 am,266\n6/5/2025 12:05 PM,266\n6/5/2025 12:05 AM,266\n",
			feed.Mapping{Time: "time", Value: "temp", Layout: "M/D/YYYY h:mm PM"}, "",
			at + " 266 F\n2025-06-05T15:05:00Z 266 F\n2025-06-05T03:05:00Z 266 F\n"},
		{"digits without marks", "time,temp (C)\n20250605064000,130.5\n",
			feed.Mapping{Time: "time", Value: "temp", Layout: "YYYYMMDDhhmmss"}, "", at + " 130.5 C\n"},
		{"seconds since 1970", "time,temp (C)\n1749116400,130.5\n1749116490.5,131\n", // date -u -d @1749116400
			feed.Mapping{Time: "time", Value: "temp", Layout: "epoch"}, "", at + " 130.5 C\n2025-06-05T09:41:30.5Z 131 C\n"},
		{"milliseconds since 1970", "time,temp (C)\n1749116490500,131\n",
			feed.Mapping{Time: "time", Value: "temp", Layout: "epoch ms"}, "", "2025-06-05T09:41:30.5Z 131 C\n"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			if tt.zone == "" {
				tt.zone = "America/Halifax"
			}
			rows, sum, err := read(tt.text, tt.mapping, zone(t, tt.zone))
			if err != nil {
				t.Fatal(err)
			}
			if diff := cmp.Diff(wanted(t, tt.want), withoutLines(rows)); diff != "" {
				t.Errorf("rows (-want +got):\n%s", diff)
			}
			if int(sum.Rows) != len(rows) {
				t.Errorf("summary has %d rows, fn was given %d", sum.Rows, len(rows))
			}
		})
	}
}

// wanted reads "instant temperature unit sensor", a line for each row.
func wanted(t *testing.T, text string) []feed.Row {
	var rows []feed.Row
	for line := range strings.Lines(text) {
		f := strings.SplitN(strings.TrimSpace(line), " ", 4)
		r := feed.Row{At: utc(t, f[0]), Temp: celsius(t, f[1]+f[2])}
		if len(f) > 3 {
			r.Sensor = f[3]
		}
		rows = append(rows, r)
	}
	return rows
}

func withoutLines(rows []feed.Row) []feed.Row {
	for i := range rows {
		rows[i].Line = 0
	}
	return rows
}

func TestSummaryTellsWhatWasFound(t *testing.T) {
	t.Parallel()
	rows, got, err := read("time;temp (C);oven\n2025-06-05 06:41;131;H1\n\n2025-06-05 06:40;\"130,5\";H2",
		feed.Mapping{Time: "time", Value: "temp"}, time.UTC)
	if err != nil {
		t.Fatal(err)
	}
	want := feed.Summary{Rows: 2, Lines: 4, First: utc(t, "2025-06-05T06:40:00Z"), Last: utc(t, "2025-06-05T06:41:00Z"),
		Columns: []string{"time", "temp (C)", "oven"}, Delimiter: ';', Unit: "C", Unfinished: true}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("summary (-want +got):\n%s", diff)
	}
	if rows[0].Line != 2 || rows[1].Line != 4 {
		t.Errorf("rows on lines %d and %d, want 2 and 4", rows[0].Line, rows[1].Line)
	}
}

// A reader may give its bytes in any portions.
func TestPortionsDoNotMatter(t *testing.T) {
	t.Parallel()
	const text = "sep=;\n\ntime;temp (C);note\n2025-06-05 06:40;130,5;\"a\nb\"\n2025-06-05 06:41;131;\n"
	m := feed.Mapping{Time: "time", Value: "temp"}
	want, _, err := read(text, m, time.UTC)
	if err != nil || len(want) != 2 {
		t.Fatal(len(want), err)
	}
	for name, r := range map[string]io.Reader{
		"byte by byte": iotest.OneByteReader(strings.NewReader(text)),
		"by halves":    iotest.HalfReader(strings.NewReader(text)),
		"with the end": iotest.DataErrReader(strings.NewReader(text)),
	} {
		var got []feed.Row
		_, err := feed.Read(r, m, time.UTC, func(r feed.Row) error { got = append(got, r); return nil })
		if err != nil {
			t.Errorf("%s: %v", name, err)
		}
		if diff := cmp.Diff(want, got); diff != "" {
			t.Errorf("%s (-want +got):\n%s", name, diff)
		}
	}
}

func TestLongFilesKeepTheirRowsApart(t *testing.T) {
	t.Parallel()
	const n = 40_000 // more than any buffer
	sensors := []string{"H1", "H2", "Süd"}
	i := 0
	sum, err := feed.Read(strings.NewReader(table(n, sensors)), feed.Mapping{Time: "time", Value: "temp", Sensor: "sensor"},
		time.UTC, func(r feed.Row) error {
			want := feed.Row{Line: int64(i + 2), Sensor: sensors[i%3],
				At: start.Add(measure.Duration(i) * measure.Second), Temp: measure.Celsius(120) + measure.Temperature(i%100)*measure.Degree/10}
			if r != want {
				t.Fatalf("row %d is %+v, want %+v", i, r, want)
			}
			i++
			return nil
		})
	if err != nil || sum.Rows != n || i != n {
		t.Errorf("%d rows, %d by the summary, error %v; want %d", i, sum.Rows, err, n)
	}
}

func TestErrorOfTheCallerEndsTheReading(t *testing.T) {
	t.Parallel()
	full := errors.New("disk full")
	calls := 0
	_, err := feed.Read(strings.NewReader("time,temp (C)\n2025-06-05 06:40,1\n2025-06-05 06:41,2\n"),
		feed.Mapping{Time: "time", Value: "temp"}, time.UTC, func(feed.Row) error { calls++; return full })
	if !errors.Is(err, full) || !strings.HasPrefix(err.Error(), "line 2: ") || calls != 1 {
		t.Errorf("Read() = %v after %d calls, want line 2: disk full after 1", err, calls)
	}
}

func TestErrorOfTheReaderEndsTheReading(t *testing.T) {
	t.Parallel()
	torn := errors.New("unplugged")
	r := io.MultiReader(strings.NewReader("time,temp (C)\n2025-06-05 06:40,1\n2025-06-0"), iotest.ErrReader(torn))
	sum, err := feed.Read(r, feed.Mapping{Time: "time", Value: "temp"}, time.UTC, func(feed.Row) error { return nil })
	if !errors.Is(err, torn) || sum.Rows != 1 {
		t.Errorf("Read() = %d rows, %v, want 1 and what the reader failed with", sum.Rows, err)
	}
}
