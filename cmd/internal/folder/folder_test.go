package folder_test

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"ovenward/cmd/internal/app"
	"ovenward/cmd/internal/app/apptest"
	"ovenward/cmd/internal/folder"
	"ovenward/inventory/measure"
	"ovenward/migrations/db"
	"ovenward/migrations/db/dbtest"
	"ovenward/storage/feed"
	"ovenward/storage/ovendb"
)

// shop is a site on UTC with two holding ovens and a folder of loggers.
type shop struct {
	*testing.T
	app  *app.App
	path string
}

func newShop(t *testing.T, d *db.DB, site string) shop {
	t.Helper()
	return shop{t, apptest.Site(t, d, site, "H1", "H2"), t.TempDir()}
}

func (s shop) folder() *folder.Folder {
	return folder.New(s.app, folder.Settings{Name: "loggers", Path: s.path,
		Mapping: feed.Mapping{Time: "time", Value: "temp", Sensor: "sensor", Unit: "C"}})
}

func (s shop) write(name, text string) {
	s.Helper()
	if err := os.WriteFile(filepath.Join(s.path, name), []byte(text), 0o600); err != nil {
		s.Fatal(err)
	}
}

// look returns what one look brought, as "file: added known flagged".
func (s shop) look(f *folder.Folder) string {
	s.Helper()
	came, err := f.Look(s.Context())
	if err != nil {
		s.Fatal(err)
	}
	var lines []string
	for _, c := range came {
		lines = append(lines, fmt.Sprintf("%s: %d %d %d", c.File, c.Added, c.Known, len(c.Flagged)))
	}
	return strings.Join(lines, ", ")
}

// stored returns what is stored of an oven, one reading a line.
func (s shop) stored(place string) string {
	s.Helper()
	return apptest.Stored(s, s.app, measure.SI, place)
}

const header = "time,temp,sensor\n"

// rows are n rows from a minute of 5 June on, of both ovens in turn.
func rows(from, n int) string {
	var b strings.Builder
	for i := from; i < from+n; i++ {
		fmt.Fprintf(&b, "2025-06-05 %02d:%02d,1%02d,H%d\n", i/60, i%60, 20+i%9, 1+i%2)
	}
	return b.String()
}

// Of a file that is written bit by bit, with looks at any time and restarts
// between them, everything is read once: what is stored is what one look at the
// whole file stores.
func TestAFileThatGrowsIsReadOnce(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, open func() *db.DB) {
		text := header + rows(0, 12)
		whole := newShop(t, open(), "yard")
		whole.write("all.csv", text)
		if got := whole.look(whole.folder()); got != "all.csv: 12 0 0" {
			t.Errorf("the whole brought %q, want 12 readings", got)
		}
		s := newShop(t, open(), "depot")
		f, brought := s.folder(), 0
		for cut := 1; cut < len(text)+7; cut += 7 {
			s.write("h.csv", text[:min(cut, len(text))])
			var added, known, flagged int
			if got := s.look(f); got != "" {
				if _, err := fmt.Sscanf(got, "h.csv: %d %d %d", &added, &known, &flagged); err != nil || known+flagged > 0 {
					t.Errorf("cut at %d brought %q, want new readings alone", cut, got)
				}
			}
			brought += added
			if cut%3 == 0 {
				f = s.folder() // the daemon was started again
			}
		}
		if brought != 12 {
			t.Errorf("it brought %d readings in all, want 12", brought)
		}
		if diff := cmp.Diff(whole.stored("H1")+whole.stored("H2"), s.stored("H1")+s.stored("H2")); diff != "" {
			t.Errorf("stored (-at once +as it grew):\n%s", diff)
		}
	})
}

// TestFilesAreKnownAgain follows one logger through what happens to its files.
func TestFilesAreKnownAgain(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, open func() *db.DB) {
		s := newShop(t, open(), "yard")
		f := s.folder()
		rename := func(from, to string) {
			if err := os.Rename(filepath.Join(s.path, from), filepath.Join(s.path, to)); err != nil {
				t.Fatal(err)
			}
		}
		for _, step := range []struct {
			what string
			do   func()
			want string
		}{
			{"nothing there", func() {}, ""},
			{"a header alone", func() { s.write("h.csv", header) }, ""},
			{"rows", func() { s.write("h.csv", header+rows(0, 4)) }, "h.csv: 4 0 0"},
			{"nothing new", func() {}, ""},
			{"the same file twice", func() { s.write("copy.csv", header+rows(0, 4)) }, ""},
			{"an older copy", func() { s.write("older.csv", header+rows(0, 2)) }, ""},
			{"it grows", func() { s.write("h.csv", header+rows(0, 6)) }, "h.csv: 2 0 0"},
			{"it is rotated and goes on a little", func() { rename("h.csv", "h.1.csv"); s.write("h.1.csv", header+rows(0, 7)) }, "h.1.csv: 1 0 0"},
			{"a new one in its place", func() { s.write("h.csv", header+rows(7, 3)) }, "h.csv: 3 0 0"},
			{"cut to nothing and begun again", func() { s.write("h.csv", header+rows(10, 2)) }, "h.csv: 2 0 0"},
			{"an export of the whole time", func() { s.write("week.csv", header+rows(0, 14)) }, "week.csv: 2 5 0"},
			{"written anew behind the same beginning", func() { s.write("week.csv", header+rows(0, 3)+rows(14, 20)) }, "week.csv: 20 3 0"},
			{"not of the pattern", func() { s.write("notes.txt", header+rows(40, 2)) }, ""},
		} {
			step.do()
			if got := s.look(f); got != step.want {
				t.Errorf("%s: brought %q, want %q", step.what, got, step.want)
			}
			if got := s.look(s.folder()); got != "" {
				t.Errorf("%s: brought %q again after a restart", step.what, got)
			}
		}
	})
}

// A value that proves nothing is kept as it was written, beside the good ones.
func TestBadRowsAreKeptAndFlagged(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, open func() *db.DB) {
		s := newShop(t, open(), "yard")
		s.write("h.csv", header+"2025-06-05 06:00,130,H1\n2025-06-05 06:30,open,H1\n2025-06-05 07:00,850,H1\n"+
			"2025-06-05 06:00,131,H1\n2025-06-05 06:00,130,H1\nyesterday,130,H1\n2025-06-05 07:00,130,H7\n2025-06-05 12:02:01,130,H1\n2025-06-05 12:02,130,H1\n")
		f := s.folder()
		if got := s.look(f); got != "h.csv: 2 1 6" {
			t.Errorf("brought %q, want two new, one known, six flagged", got)
		}
		list, err := s.app.Flags(t.Context(), "", 0, measure.At(apptest.Noon.Add(time.Hour)))
		if err != nil {
			t.Fatal(err)
		}
		var got []string
		for _, x := range list {
			got = append(got, fmt.Sprintf("%s %s|%s %s %s %s", x.At, x.Sensor, x.Place, x.Value, x.Quality, x.Source))
		}
		want := []string{
			"2025-06-05T06:00:00Z H1|H1 131 °C conflict folder loggers",
			"2025-06-05T06:30:00Z H1|H1 open unreadable folder loggers",
			"2025-06-05T07:00:00Z H1|H1 850 °C implausible folder loggers",
			"2025-06-05T07:00:00Z H7| 130 °C unknown folder loggers",
			"2025-06-05T12:00:00Z H1|H1 yesterday unreadable folder loggers", // kept by when it came in
			"2025-06-05T12:02:01Z H1|H1 130 °C future folder loggers",
		}
		if diff := cmp.Diff(want, got); diff != "" {
			t.Errorf("flagged (-want +got):\n%s", diff)
		}
		if got, want := s.stored("H1"), "H1 2025-06-05T06:00:00Z 130 °C\nH1 2025-06-05T12:02:00Z 130 °C\n"; got != want {
			t.Errorf("stored %q, want %q", got, want)
		}
		sources, err := s.app.Sources(t.Context())
		if err != nil || len(sources) != 1 || sources[0].Ahead != 121*measure.Second {
			t.Errorf("sources %+v, %v: a clock that is 2:01 ahead expected", sources, err)
		}
	})
}

// What is wrong with one file, or with the folder, is noted, and over when it is.
func TestWhatCannotBeReadIsNoted(t *testing.T) {
	t.Parallel()
	s := newShop(t, dbtest.Any(t), "yard")
	f := s.folder()
	problem := func() string {
		list, err := s.app.Sources(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		return list[0].Problem
	}
	for name, text := range map[string]string{
		"columns":    "when,temp,sensor\n2025-06-05 06:00,130,H1\n",
		"a workbook": "PK\x03\x04\n\n\n",
		"one line":   strings.Repeat("x", 1<<16+1),
		"UTF-16":     "\xff\xfet\x00i\x00\n\x00t\x00\n\x00",
	} {
		s.write("a.csv", text)
		s.write("b.csv", header+rows(len(name), 1))
		came, err := f.Look(t.Context())
		if err == nil || len(came) != 1 || !strings.Contains(problem(), "file a.csv") {
			t.Errorf("%s: %v, %v, noted %q; want b.csv read and a.csv told of", name, came, err, problem())
		}
	}
	s.write("a.csv", header)
	if s.look(f); problem() != "" {
		t.Errorf("noted %q after it was mended", problem())
	}
	f.Path = filepath.Join(s.path, "gone")
	if _, err := f.Look(t.Context()); err == nil || problem() == "" {
		t.Errorf("a folder that is not there: %v, noted %q", err, problem())
	}
}

// TestAFileOfAFolderIsTheFactThatAPersonEnters compares with oven read of another
// site.
func TestAFileOfAFolderIsTheFactThatAPersonEnters(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, open func() *db.DB) {
		read, typed := newShop(t, open(), "yard"), newShop(t, open(), "depot")
		read.write("h.csv", header+"2025-06-05 06:00,250.3 F,H1\n")
		read.look(read.folder())
		temp, err := measure.ParseTemperature("250.3 F")
		if err != nil {
			t.Fatal(err)
		}
		at := measure.At(time.Date(2025, 6, 5, 6, 0, 0, 0, time.UTC))
		if _, err := typed.app.Read(t.Context(), "Oakes", "250.3 F", ovendb.Reading{Sensor: "H1", At: at, Temp: temp}, false); err != nil {
			t.Fatal(err)
		}
		if got, want := read.stored("H1"), typed.stored("H1"); got != want || got == "" {
			t.Errorf("read %q, entered %q", got, want)
		}
	})
}
