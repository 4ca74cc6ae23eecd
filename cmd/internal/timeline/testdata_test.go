package timeline_test

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"ovenward/cmd/internal/app"
	"ovenward/cmd/internal/timeline"
	"ovenward/migrations/db"
	"ovenward/migrations/db/dbtest"
)

const folder = "../../../testdata/timelines"

// files returns the shipped timelines by name.
func files(t testing.TB) map[string]string {
	t.Helper()
	paths, err := filepath.Glob(filepath.Join(folder, "*.jsonl"))
	if err != nil || len(paths) == 0 {
		t.Fatalf("no timelines in %s: %v", folder, err)
	}
	out := map[string]string{}
	for _, p := range paths {
		out[strings.TrimSuffix(filepath.Base(p), ".jsonl")] = p
	}
	return out
}

func contents(t testing.TB, path string) []byte {
	t.Helper()
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return text
}

func load(t testing.TB, path string) *timeline.File {
	t.Helper()
	f, err := timeline.Read(bytes.NewReader(contents(t, path)))
	if err != nil {
		t.Fatalf("%s: %v", path, err)
	}
	return f
}

// The expected values are those that each file names the source of. They were
// worked out from the rules by hand, to the minute. Every timeline is a site of
// its own in one database, as the sites of a yard are.
func TestTimelinesHoldOnBothEngines(t *testing.T) {
	t.Parallel()
	all := files(t)
	dbtest.Whole(t, func(t *testing.T, open func() *db.DB) {
		d, sites := open(), 0
		for name, path := range all {
			sites++
			site := fmt.Sprintf("yard-%d", sites) // a file's name may be longer than a site's
			t.Run(name, func(t *testing.T) {
				t.Parallel()
				f := load(t, path)
				f.Header.Site = site
				res, err := timeline.Replay(t.Context(), d, f)
				if err != nil {
					t.Fatal(err)
				}
				for _, o := range res.Outcomes {
					if !o.Held() {
						t.Error(o)
					}
				}
				if res.Held == 0 {
					t.Error("nothing is expected of it")
				}
				rebuilt(t, d, f.Header)
			})
		}
	})
}

// rebuilt holds what the facts of a site give anew against what is stored, and
// every stored decision against what it comes to when it is made again.
func rebuilt(t *testing.T, d *db.DB, h timeline.Header) {
	t.Helper()
	a := &app.App{DB: d, Site: h.Site, Via: "test", Sets: h.Settings(), Now: func() time.Time { return time.Unix(0, 0) }}
	v, err := a.Verify(t.Context())
	if err != nil || v.Rows == 0 || len(v.Differences) > 0 {
		t.Errorf("verify: %d rows, %v, differences %q", v.Rows, err, v.Differences)
	}
	r, err := a.Redecide(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	for _, d := range r.Different {
		t.Errorf("fact %d, %s %s: stored %s, decided again %s", d.Fact.Seq, d.Fact.Kind, d.Of, d.Stored, d.Now)
	}
}

func TestTimelinesNameTheirSource(t *testing.T) {
	t.Parallel()
	for name, path := range files(t) {
		h := load(t, path).Header
		if h.Title == "" || h.Source == "" || h.Zone == "" {
			t.Errorf("%s: title %q, source %q", name, h.Title, h.Source)
		}
		number, _, _ := strings.Cut(name, "-")
		if shown := strings.ToUpper(number); strings.HasPrefix(shown, "S") && !strings.HasPrefix(h.Title, shown+" ") {
			t.Errorf("%s: title %q does not begin with %s", name, h.Title, shown)
		}
	}
}

// sequences are the numbers of the reference sequences that the program can
// tell. The others wait for what they are about: racks, stubs by month, shifts,
// flux.
var sequences = []int{1, 2, 3, 4, 6, 7, 8, 9, 10, 13, 15, 17, 18, 19, 21, 23, 24, 26, 28, 29,
	31, 32, 34, 35, 37, 38, 39, 40, 43, 44, 46, 47, 49, 50, 51, 52}

func TestEverySequenceHasATimeline(t *testing.T) {
	t.Parallel()
	var have []int
	for name := range files(t) {
		var n int
		if _, err := fmt.Sscanf(name, "s%02d-", &n); err == nil {
			have = append(have, n)
		}
	}
	slices.Sort(have)
	if have = slices.Compact(have); !slices.Equal(have, sequences) {
		t.Errorf("timelines of sequences\n%d, want\n%d", have, sequences)
	}
}
