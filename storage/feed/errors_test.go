package feed_test

import (
	"errors"
	"strings"
	"testing"
	"time"

	"ovenward/inventory/measure"
	"ovenward/storage/feed"
)

// Each error names what was asked for and what stands in the file.
func TestWrongColumnNamesTheColumnsFound(t *testing.T) {
	t.Parallel()
	tests := []struct {
		name    string
		header  string
		mapping feed.Mapping
		want    string
	}{
		{"not there", "time,oven temp (C),note", feed.Mapping{Time: "time", Value: "temp"},
			`column "temp" for the value: not found; the file has "time", "oven temp (C)", "note"`},
		{"none named", "time,temp", feed.Mapping{Value: "temp"},
			`column "" for the time: no column is named; the file has "time", "temp"`},
		{"number too high", "time,temp", feed.Mapping{Time: "time", Value: "3"},
			`column "3" for the value: there are 2 columns; the file has "time", "temp"`},
		{"number zero", "time,temp", feed.Mapping{Time: "0", Value: "2"},
			`column "0" for the time: there are 2 columns; the file has "time", "temp"`},
		{"twice", "time,temp (C),temp (F)", feed.Mapping{Time: "time", Value: "temp"},
			`column "temp" for the value: it stands more than once; give its number; the file has "time", "temp (C)", "temp (F)"`},
		{"one for two", "time,temp", feed.Mapping{Time: "time", Value: "temp", Sensor: "2"},
			`column "temp" for the value: time, value and sensor are in columns of their own; the file has "time", "temp"`},
		{"no such sensor", "time,temp", feed.Mapping{Time: "time", Value: "temp", Sensor: "oven"},
			`column "oven" for the sensor: not found; the file has "time", "temp"`},
		{"units that contradict each other", "time,temp (F)", feed.Mapping{Time: "time", Value: "temp", Unit: "C"},
			`column "temp (F)" for the value: its header says F and the mapping C; one of them is wrong; the file has "time", "temp (F)"`},
		{"an offset in the header", "time (UTC+1),temp (C)", feed.Mapping{Time: "time", Value: "temp"},
			`column "time (UTC+1)" for the time: its header names an offset; write the offset behind each time, or take it out of the header; the file has "time (UTC+1)", "temp (C)"`},
		{"names and no header", "2025-06-05 06:40,130", feed.Mapping{Time: "time", Value: "temp"},
			`column "time" for the time: not found; the file has "2025-06-05 06:40", "130"`},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			rows, _, err := read(tt.header+"\n2025-06-05 06:40,130.5,\n", tt.mapping, time.UTC)
			if _, ok := errors.AsType[*feed.ColumnError](err); !ok || len(rows) != 0 {
				t.Fatalf("Read() = %d rows, %v, want a *ColumnError and none", len(rows), err)
			}
			if err.Error() != tt.want {
				t.Errorf("error\n%s, want\n%s", err, tt.want)
			}
		})
	}
}

func TestBadCellSaysLineColumnValueAndWhy(t *testing.T) {
	t.Parallel()
	m := feed.Mapping{Time: "time", Value: "temp", Sensor: "oven"}
	tests := []struct {
		name, header, row, want string
		layout                  string
	}{
		{"no number", "time,temp (C),oven", "2025-06-05 06:40,open,H1",
			`line 2, column "temp (C)": "open": `, ""},
		{"no value", "time,temp (C),oven", "2025-06-05 06:40,,H1",
			`line 2, column "temp (C)": "": `, ""},
		{"no unit", "time,temp,oven", "2025-06-05 06:40,130.5,H1",
			`line 2, column "temp": "130.5": no unit; write it in the header, as in "temp (C)", or give it in the mapping`, ""},
		{"a comma before three digits", "time,temp (C),oven", "2025-06-05 06:40,\"130,125\",H1",
			`line 2, column "temp (C)": "130,125": 130,125 may mean 130125 or 130.125`, ""},
		{"below absolute zero", "time,temp (C),oven", "2025-06-05 06:40,-273.16,H1",
			`line 2, column "temp (C)": "-273.16": below absolute zero`, ""},
		{"no such date", "time,temp (C),oven", "2025-02-29 06:40,130.5,H1",
			`line 2, column "time": "2025-02-29 06:40": not a date and time`, ""},
		{"no such date in a layout", "time,temp (C),oven", "29.02.2025 06:40,130.5,H1",
			`line 2, column "time": "29.02.2025 06:40": no such date or time (layout "DD.MM.YYYY hh:mm")`, "DD.MM.YYYY hh:mm"},
		{"another layout", "time,temp (C),oven", "2025-06-05 06:40,130.5,H1",
			`line 2, column "time": "2025-06-05 06:40": not a time in the layout "DD.MM.YYYY hh:mm"`, "DD.MM.YYYY hh:mm"},
		{"more than the layout", "time,temp (C),oven", "05.06.2025 06:405,130.5,H1",
			`line 2, column "time": "05.06.2025 06:405": not a time in the layout "DD.MM.YYYY hh:mm"`, "DD.MM.YYYY hh:mm"},
		{"thirteen o'clock", "time,temp (C),oven", "6/5/2025 13:40 PM,130.5,H1",
			`line 2, column "time": "6/5/2025 13:40 PM": not a time in the layout "M/D/YYYY h:mm PM"`, "M/D/YYYY h:mm PM"},
		{"milliseconds taken for seconds", "time,temp (C),oven", "1749116400000,130.5,H1",
			`line 2, column "time": "1749116400000": later than the year 9999; milliseconds have the layout "epoch ms"`, "epoch"},
		{"not a count", "time,temp (C),oven", "-1,130.5,H1",
			`line 2, column "time": "-1": not a count since 1970 (layout "epoch")`, "epoch"},
		{"no sensor", "time,temp (C),oven", "2025-06-05 06:40,130.5, ",
			`line 2, column "oven": "": no sensor`, ""},
		{"text behind a mark", "time,temp (C),oven", `2025-06-05 06:40,"130.5"0,H1`,
			`line 2: "2025-06-05 06:40,\"130.5\"0,H1": text behind a closing quotation mark`, ""},
		{"an unquoted decimal comma", "time,temp (C),oven", "2025-06-05 06:40,130,5,H1",
			`line 2: "H1": 4 cells instead of 3; a decimal comma is quoted where commas part the cells`, ""},
		{"too few cells, and more rows below", "time,temp (C),oven", "2025-06-05 06:40,130",
			`line 2: "130": 2 cells instead of 3`, ""},
		{"a value longer than a message", "time,temp (C),oven", "2025-06-05 06:40," + strings.Repeat("é", 50) + ",H1",
			`line 2, column "temp (C)": "` + strings.Repeat("é", 30) + `...": `, ""},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			m := m
			m.Layout = tt.layout
			good := map[string]string{"": "2025-06-05 06:41", "epoch": "1749116460", "DD.MM.YYYY hh:mm": "05.06.2025 06:41",
				"M/D/YYYY h:mm PM": "6/5/2025 6:41 AM"}[tt.layout] + ",131 C,H1\n"
			rows, sum, err := read(tt.header+"\n"+tt.row+"\n"+good, m, time.UTC)
			all, ok := errors.AsType[*feed.RowErrors](err)
			if !ok || all.Count != 1 {
				t.Fatalf("Read() = %v, want one bad row", err)
			}
			if !strings.HasPrefix(err.Error(), tt.want) { // what package measure says stands behind
				t.Errorf("error\n%s, want it to begin with\n%s", err, tt.want)
			}
			if len(rows) != 1 || sum.Rows != 1 || rows[0].Line != 3 {
				t.Errorf("rows %+v, want the one on line 3", rows)
			}
		})
	}
}

// New York puts its clocks forward on 9 March 2025 at 2:00 and back on
// 2 November 2025 at 2:00.
func TestLocalTimeThatIsNotOneInstantIsABadRow(t *testing.T) {
	t.Parallel()
	z := zone(t, "America/New_York")
	for _, layout := range []string{"", "YYYY-MM-DD hh:mm"} {
		m := feed.Mapping{Time: "time", Value: "temp", Layout: layout}
		_, err := one(m, z, "2025-11-02 01:30", "130 C")
		if _, ok := errors.AsType[*measure.AmbiguousTimeError](err); !ok {
			t.Errorf("layout %q: 01:30 read with %v, want that it happens twice", layout, err)
		}
		_, err = one(m, z, "2025-03-09 02:30", "130 C")
		if _, ok := errors.AsType[*measure.NoSuchTimeError](err); !ok {
			t.Errorf("layout %q: 02:30 read with %v, want that it does not exist", layout, err)
		}
		got, err := one(m, z, "2025-11-02 01:30 EST", "130 C")
		if err != nil || got.At != utc(t, "2025-11-02T06:30:00Z") {
			t.Errorf("layout %q: 01:30 EST is %v, %v, want 06:30 UTC", layout, got.At, err)
		}
	}
}

func TestBadRowsAreCountedAndTheFirstKept(t *testing.T) {
	t.Parallel()
	text := "time,temp (C)\n" + strings.Repeat("2025-06-05 06:40,x\n", 25) + "2025-06-05 06:40,130\n"
	rows, sum, err := read(text, feed.Mapping{Time: "time", Value: "temp"}, time.UTC)
	all, ok := errors.AsType[*feed.RowErrors](err)
	if !ok || all.Count != 25 || len(all.First) != 20 || len(rows) != 1 || sum.Rows != 1 {
		t.Fatalf("Read() = %d rows, %v, want 1 and 25 bad ones with 20 kept", len(rows), err)
	}
	bad, ok := errors.AsType[*feed.RowError](err)
	if !ok || bad.Line != 2 || bad.Column != "temp (C)" || bad.Value != "x" || bad.Why == "" {
		t.Errorf("first bad row %+v, want line 2, temp (C), x", bad)
	}
	if !strings.HasPrefix(err.Error(), "25 rows are not readings, the first: line 2,") {
		t.Errorf("error %q", err)
	}
}

func TestFileThatIsNoTableIsRefusedWhole(t *testing.T) {
	t.Parallel()
	m := feed.Mapping{Time: "time", Value: "temp"}
	const header = "time,temp (C),note\n"
	tests := []struct {
		name, text string
		want       error
		words      string
	}{
		{"cut inside a quotation", header + "2025-06-05 06:40,130,a\n2025-06-05 06:41,131,\"doo", feed.ErrTruncated,
			"line 3: a quotation mark is opened and not closed"},
		{"a mark too many", header + "2025-06-05 06:40,130,\"\"\"\n2025-06-05 06:41,131,b\n", feed.ErrTruncated, "line 2: "},
		{"cut inside a row", header + "2025-06-05 06:40,130,a\n2025-06-05 06:4", feed.ErrTruncated,
			"line 3, the last: 1 cells instead of 3"},
		{"cut inside a figure", header + "2025-06-05 06:40,130,a\n2025-06-05 06:41,13", feed.ErrTruncated,
			"line 3, the last: 2 cells instead of 3"},
		{"last row too short", header + "2025-06-05 06:40,130,a\n2025-06-05 06:41\n\n", feed.ErrTruncated,
			"line 3, the last: 1 cells instead of 3"},
		{"UTF-16", "\xff\xfet\x00i\x00m\x00e\x00", feed.ErrEncoding, ""},
		{"binary", "PK\x03\x04\x00\x00", feed.ErrEncoding, ""},
		{"empty", "", feed.ErrEmpty, ""},
		{"empty lines only", "\r\n \n\n", feed.ErrEmpty, ""},
		{"a line without end", header + strings.Repeat("x", 2<<20), feed.ErrTooLong, "line 2: "},
		{"a quotation without end", header + "\"" + strings.Repeat("x\n", 1<<20), feed.ErrTooLong, "line 2: "},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			_, _, err := read(tt.text, m, time.UTC)
			if !errors.Is(err, tt.want) || !strings.Contains(err.Error(), tt.words) {
				t.Errorf("Read() = %v, want %q and %v", err, tt.words, tt.want)
			}
		})
	}
}

// A whole last row without a line end is read, and the summary warns of it.
func TestWholeLastRowWithoutALineEndIsRead(t *testing.T) {
	t.Parallel()
	rows, sum, err := read("time,temp (C)\n2025-06-05 06:40,130", feed.Mapping{Time: "time", Value: "temp"}, time.UTC)
	if err != nil || len(rows) != 1 || !sum.Unfinished {
		t.Errorf("Read() = %d rows, unfinished %v, %v, want 1, true and none", len(rows), sum.Unfinished, err)
	}
}

func TestMappingIsCheckedBeforeTheFile(t *testing.T) {
	t.Parallel()
	layouts := map[string]string{
		"DD.MM.YYYY":             "no h in it",
		"hh:mm":                  "no Y in it",
		"YYY-MM-DD hh:mm":        `"YYY" is no part of a time`,
		"YYYY-MM-DD HH:mm":       `"HH" is no part of a time`,
		"YYYY-MM-DD hh:mm hh":    "h stands in it more than once",
		"YYYY-MM-DD hmm":         "h has one digit or two and no end",
		"2006-01-02 15:04":       `"2" is no part of a time`,
		"DDD.MM.YYYY hh:mm":      `"DDD" is no part of a time`,
		"DD.MM.YYYY hh:mm:ss PM": "",
	}
	for layout, why := range layouts {
		_, _, err := read("", feed.Mapping{Time: "1", Value: "2", Layout: layout}, time.UTC)
		bad, ok := errors.AsType[*feed.LayoutError](err)
		if ok != (why != "") {
			t.Errorf("layout %q: %v, want an error: %v", layout, err, why != "")
			continue
		}
		if ok && (bad.Why != why || !strings.Contains(err.Error(), feed.Layouts)) {
			t.Errorf("layout %q: %v, want %q and how to write it", layout, err, why)
		}
	}
	_, _, err := read("", feed.Mapping{Time: "1", Value: "2", Unit: "K"}, time.UTC)
	if bad, ok := errors.AsType[*measure.UnitError](err); !ok || bad.Value != "K" {
		t.Errorf("unit K: %v, want a *measure.UnitError", err)
	}
}

// The third oven's column is not one of degrees Celsius.
func TestBareLetterOfAHeaderIsNoUnit(t *testing.T) {
	t.Parallel()
	_, _, err := read("time,oven C\n2025-06-05 06:40,130\n", feed.Mapping{Time: "time", Value: "oven C"}, time.UTC)
	if err == nil || !strings.Contains(err.Error(), `column "oven C": "130": no unit`) {
		t.Errorf("Read() = %v, want that there is no unit", err)
	}
}
