package timeline_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"ovenward/cmd/internal/app"
	"ovenward/cmd/internal/timeline"
	"ovenward/migrations/db"
)

// day writes a made-up day: whatever people do, in whatever order, sometimes
// entered late. Much of it will be refused.
type day struct {
	*rapid.T
	at      time.Time
	bundles []string
	slips   []string
	facts   int
	text    []string
}

func (d *day) line(format string, args ...any) {
	when := d.at
	if rapid.IntRange(0, 9).Draw(d.T, "late") == 0 {
		when = when.Add(-time.Duration(rapid.IntRange(0, 300).Draw(d.T, "by")) * time.Minute)
	}
	d.facts++
	d.text = append(d.text, fmt.Sprintf(`{"at":%q,"id":"f%d",`, clock(when), d.facts)+fmt.Sprintf(format, args...)+"}")
}

func clock(t time.Time) string { return t.Format("2006-01-02 15:04") }

func (d *day) any() string {
	return rapid.SampledFrom(slices.Concat([]string{"K1", "K2", "C1"}, d.bundles, d.slips)).Draw(d.T, "bundle")
}

func (d *day) somewhere() string {
	return rapid.SampledFrom([]string{"H1", "H1", "D1", "Q1", "open air", "store", "packet"}).Draw(d.T, "place")
}

func (d *day) some() int { return rapid.IntRange(1, 60).Draw(d.T, "pieces") }

func (d *day) bundle() string {
	name := fmt.Sprintf("N%d", len(d.bundles))
	d.bundles = append(d.bundles, name)
	return name
}

var verbs = []string{"issue", "issue", "issue", "return", "return", "return", "move", "split", "join", "bake",
	"open", "wet", "scrap", "count", "reading", "correct"}

func (d *day) act() {
	d.at = d.at.Add(time.Duration(rapid.IntRange(0, 90).Draw(d.T, "minutes")) * time.Minute)
	switch rapid.SampledFrom(verbs).Draw(d.T, "verb") {
	case "issue":
		d.slips = append(d.slips, fmt.Sprintf("S%d", len(d.slips)))
		holder := rapid.SampledFrom([]string{"open air", "Q1"}).Draw(d.T, "holder")
		d.line(`"do":"issue","slip":%q,"bundle":%q,"pieces":%d,"welder":"W1","holder":%q`,
			d.slips[len(d.slips)-1], d.any(), d.some(), holder)
	case "return":
		if len(d.slips) > 0 {
			slip := rapid.SampledFrom(d.slips).Draw(d.T, "slip")
			d.line(`"do":"return","slip":%q,"unused":%d,"stubs":%d,"into":%q,"as":%q,"wet":%t`, slip,
				rapid.IntRange(0, 60).Draw(d.T, "unused"), rapid.IntRange(0, 9).Draw(d.T, "stubs"),
				d.somewhere(), d.bundle(),
				rapid.IntRange(0, 9).Draw(d.T, "wet") == 0)
		}
	case "move":
		d.line(`"do":"move","bundle":%q,"into":%q`, d.any(), d.somewhere())
	case "split":
		d.line(`"do":"move","bundle":%q,"into":%q,"pieces":%d,"as":%q`, d.any(), d.somewhere(), d.some(), d.bundle())
	case "join":
		d.line(`"do":"join","bundles":[%q,%q],"as":%q`, d.any(), d.any(), d.bundle())
	case "bake":
		d.line(`"do":"bake","bundle":%q,"place":"D1","set":"350 C"`, d.any())
	case "open":
		d.line(`"do":"open","bundle":%q,"into":%q`, d.any(), d.somewhere())
	case "wet":
		if rapid.IntRange(0, 4).Draw(d.T, "rain") == 0 {
			d.line(`"do":"wet","bundle":%q`, d.any())
		}
	case "scrap":
		d.line(`"do":"scrap","bundle":%q,"pieces":%d`, d.any(), d.some())
	case "count":
		d.line(`"do":"count","bundle":%q,"pieces":%d`, d.any(), d.some())
	case "correct":
		d.correct()
	case "reading":
		d.line(`"do":"reading","place":%q,"value":"%d C"`, rapid.SampledFrom([]string{"H1", "Q1"}).Draw(d.T, "oven"),
			rapid.IntRange(60, 150).Draw(d.T, "C"))
	}
}

// correct puts an earlier fact right, or makes it wrong.
func (d *day) correct() {
	if d.facts == 0 {
		return
	}
	what := rapid.SampledFrom([]string{
		`"void":true`,
		fmt.Sprintf(`"pieces":%d`, d.some()),
		fmt.Sprintf(`"unused":%d`, d.some()),
		fmt.Sprintf(`"into":%q`, d.somewhere()),
		fmt.Sprintf(`"new":{"at":%q}`, clock(d.at.Add(-time.Hour))),
	}).Draw(d.T, "right")
	d.text = append(d.text, fmt.Sprintf(`{"at":%q,"do":"correct","fact":"f%d","reason":"misread",%s}`,
		clock(d.at), rapid.IntRange(1, d.facts).Draw(d.T, "fact"), what))
}

// Whatever is entered, a replay ends with facts or refusals and with no other
// error, no rod is lost or made, and the facts give again what is stored.
func TestNoRodIsLostWhateverIsEntered(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		d := &day{T: t, at: time.Date(2025, 6, 5, 6, 0, 0, 0, time.UTC)}
		for _, place := range []string{"H1:holding oven", "D1:bake oven", "Q1:quiver"} {
			name, kind, _ := strings.Cut(place, ":")
			d.text = append(d.text, fmt.Sprintf(`{"do":"place","place":%q,"kind":%q}`, name, kind))
		}
		for _, stock := range []string{"K1:7B21:hermetic can", "K2:7B21:hermetic can", "C1:7B22:carton"} {
			f := strings.Split(stock, ":")
			d.text = append(d.text,
				at("05:00", "receive", fmt.Sprintf(`"lot":%q,"class":"E7018","diameter":"1/8 in","package":%q,`+
					`"bundle":%q,"pieces":100`, f[1], f[2], f[0])),
				at("05:00", "release", fmt.Sprintf(`"lot":%q`, f[1])))
		}
		for range rapid.IntRange(1, 25).Draw(t, "acts") {
			d.act()
		}
		replayed(t, lines(d.text...))
	})
}

func replayed(t *rapid.T, text string) {
	store, err := db.Scratch(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	defer store.Close()
	f, err := timeline.Read(strings.NewReader(text))
	if err != nil {
		t.Fatalf("%v in\n%s", err, text)
	}
	if _, err := timeline.Replay(t.Context(), store, f); err != nil {
		t.Fatalf("%v in\n%s", err, text)
	}
	after := time.Date(2025, 6, 9, 0, 0, 0, 0, time.UTC)
	a := &app.App{DB: store, Site: "replay", Via: "test", Now: func() time.Time { return after }}
	v, err := a.Verify(t.Context())
	if err != nil || len(v.Differences) > 0 {
		t.Fatalf("verify: %v, differences %q in\n%s", err, v.Differences, text)
	}
	for lot, want := range map[string]int64{"7B21": 200, "7B22": 100} {
		if got := accounted(t, a, lot); got != want {
			t.Fatalf("lot %s: %d rods accounted for, want %d in\n%s", lot, got, want, text)
		}
	}
}

// accounted counts the rods of a lot: what is here or out, what went into
// joints or came back useless, and what was scrapped or miscounted.
func accounted(t *rapid.T, a *app.App, lot string) (n int64) {
	trace, err := a.Trace(t.Context(), lot)
	if err != nil {
		t.Fatal(err)
	}
	out := map[string]int64{}
	for _, b := range trace.Bundles {
		if b.Pieces < 0 {
			t.Fatalf("bundle %s has %d rods", b.Code, b.Pieces)
		}
		n += b.Pieces
		out[b.Slip] += b.Pieces
	}
	for _, s := range trace.Slips {
		n += s.Slip.Pieces - s.Slip.Back.Unused - out[s.Slip.Code]
	}
	for _, l := range trace.Losses {
		n += l.Pieces
	}
	return n
}
