package feed_test

import (
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"ovenward/storage/feed"
)

func TestAFileIsKnownByItsHeaderAndFirstRow(t *testing.T) {
	t.Parallel()
	const header, first = "time,temp (C)\n", "2025-06-05 06:40,130\n"
	for _, tt := range []struct {
		name, text string
		length     int
		lines      int64
	}{
		{"plain", header + first, len(header), 1},
		{"more behind", header + first + "2025-06-05 06:41,131\n2025-06", len(header), 1},
		{"preamble", "\ufeffsep=;\r\n\r\n" + header + "\n" + first, len("\ufeffsep=;\r\n\r\n" + header), 3},
		{"no header", first + first, len(first), 1},
	} {
		h, ok := feed.FindHead([]byte(tt.text))
		if !ok || h.Length != tt.length || h.Lines != tt.lines {
			t.Errorf("%s: %+v, %t, want %d bytes in %d lines", tt.name, h, ok, tt.length, tt.lines)
		}
	}
	for _, text := range []string{"", header, header + "2025-06-05 06:40,13", "\n\n"} {
		if h, ok := feed.FindHead([]byte(text)); ok {
			t.Errorf("%q has the head %+v, want none yet", text, h)
		}
	}
	a, _ := feed.FindHead([]byte(header + first))
	grown, _ := feed.FindHead([]byte(header + first + first))
	other, _ := feed.FindHead([]byte(header + "2025-06-06 06:40,130\n"))
	if a.Begins != grown.Begins || a.Begins == other.Begins {
		t.Errorf("a file that grew is %s, was %s; one of the next day is %s", grown.Begins, a.Begins, other.Begins)
	}
}

// Of a file that is cut anywhere into what was there before and what came, the
// rows read are those of the whole.
func TestAFileReadInPartsHasTheRowsOfTheWhole(t *testing.T) {
	t.Parallel()
	text := table(40, []string{"H1", "H2"})
	m := feed.Mapping{Time: "time", Value: "temp", Sensor: "sensor"}
	want, _, err := read(text, m, time.UTC)
	if err != nil {
		t.Fatal(err)
	}
	h, ok := feed.FindHead([]byte(text))
	if !ok {
		t.Fatal("no head")
	}
	for cut := h.Length; cut <= len(text); cut++ {
		whole := max(feed.Whole([]byte(text[:cut])), h.Length)
		var got []feed.Row
		for _, part := range []string{text[h.Length:whole], text[whole:]} {
			_, err := feed.ReadGrowing(strings.NewReader(text[:h.Length]+part), m, time.UTC,
				func(r feed.Row) error { got = append(got, r); return nil },
				func(r feed.Row, e *feed.RowError) { t.Errorf("cut at %d: %v", cut, e) })
			if err != nil {
				t.Fatal(err)
			}
		}
		if diff := cmp.Diff(withoutLines(want), withoutLines(got)); diff != "" {
			t.Fatalf("cut at %d (-whole +parts):\n%s", cut, diff)
		}
	}
}

func TestEveryBadRowOfAGrowingFileIsHandedOver(t *testing.T) {
	t.Parallel()
	text := "time,temp (C),oven\n2025-06-05 06:40,ERR,H1\nyesterday,130,H2\n2025-06-05 06:42,131,H1\n" +
		strings.Repeat("2025-06-05 06:43,open,H1\n", 30) + "2025-06-05 06:44\n"
	var good, bad []feed.Row
	_, err := feed.ReadGrowing(strings.NewReader(text), feed.Mapping{Time: "time", Value: "temp", Sensor: "oven"}, time.UTC,
		func(r feed.Row) error { good = append(good, r); return nil },
		func(r feed.Row, _ *feed.RowError) { bad = append(bad, r) })
	if err != nil || len(good) != 1 || len(bad) != 33 {
		t.Fatalf("%d good, %d bad, %v; want 1 and 33", len(good), len(bad), err)
	}
	if bad[0].At != utc(t, "2025-06-05T06:40:00Z") || bad[0].Sensor != "H1" {
		t.Errorf("the first bad row is of %s at %s, want H1 at 06:40: both can be read", bad[0].Sensor, bad[0].At)
	}
	if bad[1].At != 0 || bad[1].Sensor != "H2" {
		t.Errorf("the second bad row is of %s at %s, want H2 at no time", bad[1].Sensor, bad[1].At)
	}
}

func FuzzFindHead(f *testing.F) {
	f.Add([]byte("\ufeffsep=;\ntime;temp\n2025-06-05 06:40;130\n"))
	f.Add([]byte("\n\r\n,\n\n1\n"))
	f.Fuzz(func(t *testing.T, b []byte) {
		h, ok := feed.FindHead(b)
		if ok && (h.Length > len(b) || h.Length < 1 || h.Lines < 1 || h.Begins == "") {
			t.Errorf("%q has the head %+v", b, h)
		}
	})
}
