package app_test

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"ovenward/cmd/internal/app"
	"ovenward/migrations/db"
	"ovenward/migrations/db/dbtest"
	"ovenward/storage/feed"
)

const checkIt = "check the unit and the sensor; if it is true, enter it by itself: "

// Each bad row says where it is, what stands there, what is wrong and what to do.
// In Halifax the clocks went back on 2 November 2025 at 2:00.
func TestBadRowsAreListedAndTheOthersStored(t *testing.T) {
	t.Parallel()
	dbtest.Whole(t, func(t *testing.T, open func() *db.DB) {
		l := newLoggers(t, t, open(), "main")
		sum := l.mustLoad(
			"2025-06-05 06:00,130,H1",  // line 2
			"2025-06-05 06:30,open,H1", // 3: no number
			"2025-06-05 07:00,250,H1",  // 4: no holding oven shows it
			"2025-06-05 07:00,370,BK",  // 5: a bake oven does
			"2026-03-02 06:01,130,H1",  // 6: a minute ahead of the clock
			"2026-03-02 06:00,130,H1",  // 7: now
			"2025-06-05 06:00,130,H9",  // 8: no such oven
			"2025-06-05 06:30,131,H9",  // 9
			"2025-06-05 06:00,130,H3",  // 10: two sensors are there
			"2025-11-02 01:30,130,H1",  // 11: happens twice
			"2025-06-05 07:30,-90,H1",  // 12: a broken wire
		)
		want := []app.BadRow{
			{Line: 3, Column: "temp (C)", Value: "open", Why: "no number", Next: "write a number with C or F, such as 120 C or 250 F"},
			{Line: 4, Column: "temp", Value: "250 °C", Why: "250 °C (482 °F) in a holding oven",
				Next: checkIt + `ovenward oven read "T-1" "250 C" --at "2025-06-05 07:00" --confirm`},
			{Line: 6, Column: "time", Value: "2026-03-02 06:01", Why: "the clock says 2026-03-02 06:00",
				Next: "check the logger's clock and this machine's, and that --layout does not change day and month"},
			{Line: 8, Column: "oven", Value: "H9", Why: "no such place at this site (2 rows)",
				Next: `set it up with: ovenward oven add H9 --kind "holding oven"`},
			{Line: 10, Column: "oven", Value: "H3", Why: "2 sensors are at H3", Next: "name the sensor that was read"},
			{Line: 11, Column: "time", Value: "2025-11-02 01:30", Why: "2025-11-02 01:30 happens twice in America/Halifax",
				Next: `write "2025-11-02 01:30 ADT" for the first (04:30 UTC) or "2025-11-02 01:30 AST" for the second (05:30 UTC)`},
			{Line: 12, Column: "temp", Value: "-90 °C", Why: "-90 °C (-130 °F) in a holding oven",
				Next: checkIt + `ovenward oven read "T-1" "-90 C" --at "2025-06-05 07:30" --confirm`},
		}
		if diff := cmp.Diff(want, sum.Bad.First); diff != "" || sum.Bad.Count != 8 {
			t.Errorf("%d bad rows, want 8 (-want +got):\n%s", sum.Bad.Count, diff)
		}
		if sum.Good != 3 || sum.Added != 3 {
			t.Errorf("good %d, added %d, want 3 and 3", sum.Good, sum.Added)
		}
		stored := l.stored("H1", "BK")
		if len(stored["T-1"]) != 2 || len(stored["BK"]) != 1 {
			t.Errorf("stored %v, want two readings of T-1 and one of BK", stored)
		}
	})
}

func TestManyBadRowsAreCountedAndTheFirstListed(t *testing.T) {
	t.Parallel()
	l := newLoggers(t, t, dbtest.SQLite(t), "main")
	rows := []string{"2025-06-05 06:00,130,H1"}
	for range 30 {
		rows = append(rows, "2025-06-05 06:00,250,H1", "2025-06-05 06:00,x,H1")
	}
	sum := l.mustLoad(rows...)
	if sum.Bad.Count != 60 || len(sum.Bad.First) != 20 {
		t.Fatalf("%d bad rows, %d listed, want 60 and 20", sum.Bad.Count, len(sum.Bad.First))
	}
	for i, b := range sum.Bad.First {
		if b.Line != int64(3+i) {
			t.Errorf("listed row %d is on line %d, want %d: the first of the file, of both kinds", i, b.Line, 3+i)
		}
	}
}

// If the file was cut, 13 may have been 130: a cold reading that nobody saw.
func TestLastFigureWithoutALineEndIsNotTrusted(t *testing.T) {
	t.Parallel()
	l := newLoggers(t, t, dbtest.SQLite(t), "main")
	const text = "oven,time,temp (C)\nH1,2025-06-05 06:00,130\nH1,2025-06-05 06:30,13"
	sum, err := l.load(text, "", fileColumns, app.LoadOptions{})
	if err != nil {
		t.Fatal(err)
	}
	if sum.Added != 1 || sum.Bad.Count != 1 || sum.Bad.First[0].Line != 3 || !strings.Contains(sum.Bad.First[0].Why, "no end") {
		t.Errorf("added %d, bad %+v, want 1 and line 3", sum.Added, sum.Bad)
	}
	if sum, err = l.load(text+"0\n", "", fileColumns, app.LoadOptions{}); err != nil || sum.Added != 1 || sum.Bad.Count != 0 {
		t.Errorf("the whole file: added %d, bad %d, %v, want 1, 0 and none", sum.Added, sum.Bad.Count, err)
	}
}

func TestMissingUnitSaysHowToGiveIt(t *testing.T) {
	t.Parallel()
	l := newLoggers(t, t, dbtest.SQLite(t), "main")
	const text = "time,temp\n2025-06-05 06:00,250\n2025-06-05 06:30,130 C\n"
	m := feed.Mapping{Time: "time", Value: "temp"}
	sum, err := l.load(text, "H1", m, app.LoadOptions{})
	if err != nil || sum.Added != 1 || sum.Bad.Count != 1 || !strings.Contains(sum.Bad.First[0].Next, "--unit C or --unit F") {
		t.Errorf("added %d, bad %+v, %v, want 1 and one that names --unit", sum.Added, sum.Bad, err)
	}
	m.Unit = "F"
	if sum, err = l.load(text, "H1", m, app.LoadOptions{}); err != nil || sum.Added != 1 || sum.Known != 1 || sum.Bad.Count != 0 {
		t.Errorf("with the unit: added %d, known %d, bad %d, %v, want 1, 1, 0 and none", sum.Added, sum.Known, sum.Bad.Count, err)
	}
}
