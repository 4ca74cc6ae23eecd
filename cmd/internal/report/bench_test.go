package report_test

import (
	"encoding/json"
	"fmt"
	"io"
	"slices"
	"testing"
	"time"

	"ovenward/cmd/internal/app"
	"ovenward/cmd/internal/report"
	"ovenward/inventory"
	"ovenward/inventory/ledger"
	"ovenward/inventory/measure"
	"ovenward/migrations/db"
	"ovenward/migrations/db/dbtest"
	"ovenward/storage/ovendb"
	"ovenward/storage/rules"
)

// BenchmarkReports makes each report of the last month of a shop with twelve
// months in its books, in turn of one with that month alone, and of the first with a
// month half a year ago. The ratio of the medians says whether the other months are
// read; that of the old month, what it takes to make the site as it stood then.
func BenchmarkReports(b *testing.B) {
	for _, e := range []struct {
		name   string
		create func() *db.DB
	}{
		{"sqlite", func() *db.DB { return dbtest.SQLite(b) }},
		{"postgres", func() *db.DB { return dbtest.Open(b, dbtest.Server(b)) }},
	} {
		b.Run(e.name, func(b *testing.B) {
			shops := [2]*app.App{months(b, e.create(), 1), months(b, e.create(), 12)}
			for _, r := range report.All() {
				b.Run(r.Name, func(b *testing.B) { reported(b, r, shops) })
			}
		})
	}
}

// reported makes one report of both shops in turn.
func reported(b *testing.B, r report.Report, shops [2]*app.App) {
	subject := map[string]string{"trace-joint": "J-LAST", "recall": "LAST", "issue-history": "LAST-0"}[r.Name]
	var took [3][]time.Duration
	for b.Loop() {
		for i, ask := range []struct {
			app *app.App
			to  measure.Duration
		}{{shops[0], 0}, {shops[1], 0}, {shops[1], -6 * aMonth}} {
			to := measure.At(ask.app.Now()).Add(ask.to)
			start := time.Now()
			if _, err := r.Make(b.Context(), ask.app, report.Query{Subject: subject, From: to.Add(-aMonth), To: to, At: to}); err != nil {
				b.Fatal(err)
			}
			took[i] = append(took[i], time.Since(start))
		}
	}
	var medians [3]float64
	for i, list := range took {
		slices.Sort(list)
		medians[i] = list[len(list)/2].Seconds()
	}
	b.ReportMetric(0, "ns/op") // both together say nothing
	b.ReportMetric(medians[0]*1000, "alone-ms")
	b.ReportMetric(medians[1]*1000, "of-12-ms")
	b.ReportMetric(medians[1]/medians[0], "ratio")
	b.ReportMetric(medians[2]*1000, "old-ms")
}

// The made-up months end at noon on 11 June 2025.
const (
	slipsADay = 40
	aMonth    = 30 * measure.Day
)

// months is a shop with so many months in its books: forty slips a day of a can
// of its own for each day, and an oven that was read every five minutes.
func months(b *testing.B, d *db.DB, n int) *app.App {
	b.Helper()
	end := at(b, "2025-06-11 12:00")
	a := &app.App{DB: d, Site: "yard", Via: "bench", Now: func() time.Time { return end.Time() }}
	in, out := io.Pipe()
	written := make(chan error, 1)
	begin := end.Add(-measure.Duration(n) * aMonth)
	go func() {
		err := write(out, begin.Add(-measure.Hour), end)
		written <- err
		out.CloseWithError(err)
	}()
	if _, err := a.Load(b.Context(), in); err != nil {
		b.Fatal(err)
	}
	if err := <-written; err != nil {
		b.Fatal(err)
	}
	var list []ovendb.Reading
	for t := begin; t < end; t = t.Add(5 * measure.Minute) {
		list = append(list, ovendb.Reading{Sensor: "H1", At: t, Temp: measure.Celsius(130)})
	}
	if _, err := a.AddReadings(b.Context(), list); err != nil {
		b.Fatal(err)
	}
	return a
}

// book writes facts one after the other.
type book struct {
	out  *ledger.Writer
	head ledger.Head
	at   measure.Instant
	err  error
}

func write(w io.Writer, begin, end measure.Instant) error {
	k := &book{head: ledger.Start("yard"), at: begin}
	set, err := rules.Shipped("reference-running")
	if err != nil {
		return err
	}
	if k.out, err = ledger.NewWriter(w, k.head); err != nil {
		return err
	}
	for _, e := range []inventory.Entry{
		&inventory.SiteSet{Zone: halifax, Units: "SI"}, &inventory.RulesApproved{ID: set.ID, Edition: set.Edition, Digest: set.Digest, Text: set.Text},
		&inventory.RulesUsed{Rules: set.ID}, &inventory.PlaceSet{Place: "H1", SortKind: "holding oven"},
		&inventory.SensorSet{Sensor: "H1", Place: "H1"}, &inventory.Calibrated{Sensor: "H1", Error: "0 C", Due: "2026-06-05"},
	} {
		k.put(e, 0)
	}
	for day := 0; k.at.Add(26*measure.Hour) < end; day++ {
		k.day(fmt.Sprintf("D%d", day), begin.Add(measure.Duration(day)*measure.Day+measure.Hour))
	}
	k.day("LAST", end.Add(-24*measure.Hour))
	if k.err == nil {
		k.err = k.out.Close()
	}
	return k.err
}

// day is one day: a can comes, is handed out and taken back forty times, and what
// is left of it is scrapped.
func (k *book) day(lot string, from measure.Instant) {
	k.at = from
	k.put(&inventory.Received{Lot: lot, Class: "E7018", Diameter: "1/8 in", Length: "14 in", Package: "hermetic can", Bundle: lot + "-CAN",
		Pieces: 30 * slipsADay, Into: inventory.Store, Certificate: "C-" + lot, CertificateKind: "3.1"}, 0)
	k.put(&inventory.LotReleased{Lot: lot}, 0)
	k.put(&inventory.Opened{Bundle: lot + "-CAN", Into: "H1"}, 0)
	judged := func(most string) *inventory.Judged {
		return &inventory.Judged{Rules: "reference-running", Edition: "1", Row: "e70", Verdict: inventory.Ready, Least: most, Most: most, Limit: "4:00"}
	}
	for n := range slipsADay {
		slip := fmt.Sprintf("%s-%d", lot, n)
		k.put(&inventory.Issued{Slip: slip, Bundle: lot + "-CAN", Pieces: 25, Welder: fmt.Sprintf("W%d", n%9), Holder: "open air",
			Joints: []string{"J-" + lot}, Judged: judged("0:00")}, 10*measure.Minute)
		back := "R" + slip
		k.put(&inventory.Returned{Slip: slip, Unused: 5, Stubs: 20, Into: "H1", As: back, Judged: judged("0:10")}, 10*measure.Minute)
		k.put(&inventory.Scrapped{Bundle: back, Why: "worn covering"}, 0)
	}
	k.put(&inventory.Scrapped{Bundle: lot + "-CAN", Why: "end of the day"}, 0)
}

// put writes a fact so long after the one before.
func (k *book) put(e inventory.Entry, after measure.Duration) {
	if k.err != nil {
		return
	}
	var body []byte
	if body, k.err = json.Marshal(e); k.err != nil {
		return
	}
	k.at = k.at.Add(after)
	var f ledger.Fact
	f, k.err = k.head.Next(ledger.Draft{ID: fmt.Sprintf("01974000-0000-7000-8000-%012x", k.head.Seq+1), Kind: e.Kind(), At: k.at, Noted: k.at,
		By: "A1", Via: "window", Body: string(body)})
	if k.err == nil {
		k.head = f.Head()
		k.err = k.out.Write(f)
	}
}
