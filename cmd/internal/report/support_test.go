package report_test

import (
	"os"
	"testing"
	"time"
	_ "time/tzdata" // Halifax, on any machine

	"ovenward/cmd/internal/app"
	"ovenward/cmd/internal/report"
	"ovenward/cmd/internal/timeline"
	"ovenward/inventory/measure"
	"ovenward/migrations/db"
)

const halifax = "America/Halifax"

// at is an instant on Halifax's clock.
func at(t testing.TB, text string) measure.Instant {
	t.Helper()
	zone, err := time.LoadLocation(halifax)
	if err != nil {
		t.Fatal(err)
	}
	i, err := measure.ParseInstant(text, zone)
	if err != nil {
		t.Fatal(err)
	}
	return i
}

// replayed is the program on a database in which a timeline has happened, at an
// instant after it.
func replayed(t testing.TB, d *db.DB, file, now string) *app.App {
	t.Helper()
	f, err := os.Open(file)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	lines, err := timeline.Read(f)
	if err != nil {
		t.Fatalf("%s: %v", file, err)
	}
	result, err := timeline.Replay(t.Context(), d, lines)
	if err != nil {
		t.Fatalf("%s: %v", file, err)
	}
	for _, o := range result.Outcomes {
		if !o.Held() {
			t.Fatalf("%s: %+v", file, o)
		}
	}
	site := lines.Header.Site
	if site == "" {
		site = "replay"
	}
	then := at(t, now).Time()
	return &app.App{DB: d, Site: site, Via: "test", Now: func() time.Time { return then }}
}

// yard is the invented rod room at noon on 11 June 2025, with S5 an hour past
// its limit.
func yard(t testing.TB, d *db.DB) *app.App {
	t.Helper()
	return replayed(t, d, "testdata/shop.jsonl", "2025-06-11 12:00")
}

// days is the time in which the yard was at work.
func days(t testing.TB) report.Query {
	t.Helper()
	return report.Query{From: at(t, "2025-06-10 00:00"), To: at(t, "2025-06-11 12:00"), Asked: "QA1"}
}

// of are the subjects that the reports of one thing are made of.
var of = map[string]string{"trace-joint": "J-101", "recall": "7B21", "issue-history": "S1"}

// made fills a report in.
func made(t testing.TB, a *app.App, name string, q report.Query) report.Made {
	t.Helper()
	r, err := report.Find(name)
	if err != nil {
		t.Fatal(err)
	}
	if q.Subject == "" {
		q.Subject = of[name]
	}
	m, err := r.Make(t.Context(), a, q)
	if err != nil {
		t.Fatalf("report %s: %v", name, err)
	}
	return m
}
