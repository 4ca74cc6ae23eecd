package feed_test

import (
	"errors"
	"strings"
	"testing"

	"ovenward/storage/feed"
)

// FuzzRead feeds any bytes. Whatever they are, the reader ends, hands over as
// many rows as it says, on lines that go up, and says something about the rest.
func FuzzRead(f *testing.F) {
	for _, seed := range []string{
		"time,temp (C)\n2025-06-05 06:40:00,130.5\n",
		"\ufefftime;temp (\xb0F);oven\r\n2025-06-05 06:40;266,5;\"H\"\"1\"\"\"\r\n;;\r\n",
		"sep=|\ntime|temp|oven\n2025-11-02T01:30:00-04:00|130 C|\"a\nb\"\n",
		"1749116400,130.5\n1749116401,\"x", "\"", "time\ttemp\n\t\n", "\xff\xfe", "",
	} {
		for _, layout := range []string{"", "epoch", "D.M.YY h:mm PM"} {
			f.Add([]byte(seed), "time", "temp", "oven", "C", layout)
			f.Add([]byte(seed), "1", "2", "", "", layout)
		}
	}
	z := zone(f, "America/New_York")
	f.Fuzz(func(t *testing.T, data []byte, when, value, sensor, unit, layout string) {
		m := feed.Mapping{Time: when, Value: value, Sensor: sensor, Unit: unit, Layout: layout}
		rows, sum, err := read(string(data), m, z)
		if int64(len(rows)) != sum.Rows {
			t.Errorf("%d rows given, %d by the summary", len(rows), sum.Rows)
		}
		line := int64(0)
		for _, r := range rows {
			if r.Line <= line || r.Line > sum.Lines || r.At < sum.First || r.At > sum.Last {
				t.Errorf("row %+v behind line %d in %+v", r, line, sum)
			}
			if strings.TrimSpace(r.Sensor) != r.Sensor || (sensor != "") != (r.Sensor != "") {
				t.Errorf("sensor %q of column %q", r.Sensor, sensor)
			}
			line = r.Line
		}
		if bad, ok := errors.AsType[*feed.RowErrors](err); ok && (bad.Count == 0 || len(bad.First) == 0) {
			t.Errorf("bad rows without one: %+v", bad)
		}
	})
}

// FuzzTime compares times with package measure, which reads them the slow way.
func FuzzTime(f *testing.F) {
	for _, seed := range []string{"2025-06-05 06:40", "2025-06-05 06:40:00", "2025-06-05T06:40:00Z", "2025-06-05T06:40:00.5+02:00",
		"2025-11-02 01:30", "2025-11-02 01:30 EST", "2025-03-09 02:30", "2025-02-29 06:40", "0000-02-29 23:59:59", "9999-12-31 24:00",
		"2025-06-05 06:40:60", "2025-06-05T06:40Z", "2025-06-05 06:40:00Z", "2025-06-05 06:40:00.", "2025-06-05T06:40:00+24:00",
		"2025-06-05T06:40:00+25:00", "2025-06-05T06:40:00-02:61"} {
		f.Add(seed, "2025-07-01 00:00")
	}
	z := zone(f, "America/New_York")
	f.Fuzz(func(t *testing.T, a, b string) {
		if !plainCell(a) || !plainCell(b) {
			return
		}
		agrees(t, z, []string{a, b, a})
	})
}

// FuzzTemperature compares temperatures with package measure.
func FuzzTemperature(f *testing.F) {
	for _, seed := range []string{"130.5", "130,5", "-40", "266F", "130 °C", "1.", ".5", "1e3", "1 1/2", "-273.15", "99999999999999999",
		"0.0055", "-0.0005", "1,234.5", "+5", "--5", "5 K"} {
		f.Add(seed, true)
		f.Add(seed, false)
	}
	f.Fuzz(func(t *testing.T, cell string, fahrenheit bool) {
		if !plainCell(cell) {
			return
		}
		unit := map[bool]string{false: "C", true: "F"}[fahrenheit]
		text := cell
		if last := cell[len(cell)-1]; (last >= '0' && last <= '9') || last == '.' || last == ',' {
			text += " " + unit
		}
		sameTemperature(t, cell, unit, text)
	})
}

// plainCell reports whether the text is a cell that means itself: not empty,
// trimmed, in UTF-8, without what parts or marks cells.
func plainCell(s string) bool {
	return s != "" && strings.TrimSpace(s) == s && !strings.ContainsAny(s, "\"\t\n\r\x00") && strings.ToValidUTF8(s, "") == s
}
