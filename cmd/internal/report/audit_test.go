package report_test

import (
	"errors"
	"testing"

	"ovenward/cmd/internal/app"
	"ovenward/cmd/internal/report"
	"ovenward/cmd/internal/show"
	"ovenward/inventory"
	"ovenward/migrations/db"
	"ovenward/migrations/db/dbtest"
	"ovenward/storage/rules"
)

// audited is the invented rod room at which an auditor would stop, at noon.
func audited(t testing.TB, d *db.DB) *app.App {
	t.Helper()
	return replayed(t, d, "testdata/audit.jsonl", "2025-06-11 12:00")
}

// What an auditor stops at, counted by hand from testdata/audit.jsonl.
var stops = []figure{
	// Z-11 was tested on 12 March, 90 days before the lot came.
	{"receiving", "papers", row{"certificate": "Z-11"}, row{"kind": "3.1", "results": "actual", "tested": "2025-03-12", "test_age": "90", "owner": "own"}},
	{"receiving", "papers", row{"certificate": "Z-12"}, row{"lot": "8C30", "owner": "Sundal Energi", "state": "REJECTED: altered"}},
	{"receiving", "lots", row{"lot": "8C30"}, row{"lacks": "QA has not released it; every certificate was rejected", "owner": "Sundal Energi"}},
	{"trace-joint", "papers", row{"lot": "7B21"}, row{"certificate": "Z-11", "test_age": "90"}},
	{"trace-joint", "slips", row{"slip": "S1"}, row{"certificate": "Z-11 3.1"}},
	{"trace-joint", "notes", row{"of": "slip S1"}, row{"what": "porosity", "seen_by": "W3", "against": "yes"}},
	{"recall", "lots", row{"lot": "7B21"}, row{"owner": "own", "papers": "Z-11 3.1"}},
	{"recall", "notes", row{"of": "slip S1"}, row{"words": "in the root, twice"}},
	{"issue-history", "notes", row{"of": "slip S1"}, row{"what": "porosity"}},
	{"shift", "notes", row{"of": "slip S1"}, row{"what": "porosity"}},
	{"decisions", "notes", row{"of": "slip S1"}, row{"what": "porosity"}},
	{"decisions", "log", row{"act": "REJECTED N1"}, row{"of": "R4", "proposed_by": "A1", "by": "Q1", "evidence": "gate log, sheet 3", "why": "nobody saw him back"}},
	{"decisions", "waiting", row{"bundle": "K2"}, row{"why": "QA has not released the lot"}},
	{"stubs", "lots", row{"lot": "8C30"}, row{"owner": "Sundal Energi", "closing": "150"}},
	{"exceptions", "exceptions", row{"kind": "override"}, row{"of": "slip S3", "by": "B1", "with": "F1", "why": "tested again, report 41",
		"what": "issued 5 of K3 on slip S3 to W4, no joint named; expired: lot 4A10 was good until 2025-06-01"}},
	{"exceptions", "exceptions", row{"kind": "turned away"}, row{"of": "welder W3", "by": "A1"}},
	{"exceptions", "exceptions", row{"with": "F1", "kind": "without authority", "what": "issued 12 of K1 on slip S4 to W3 for J-1; Lars (F1) is a foreman, and did what takes an attendant"},
		row{"of": "slip S4", "by": "A1"}},
	// H1 showed 130 for 115: 05:20 to 18:30 are 13:10 of exposure, where 4:00 are allowed.
	{"exceptions", "exceptions", row{"kind": "reached back", "of": "slip S2"}, row{"what": "K1, issue at 2025-06-10 18:35: judged ready: at temperature; by what the check of " +
		"sensor H1 found, bake: exposed 13 h 15 min, limit 4 h; rods went into J-1"}},
	// S1 and S4 went out and came back, S2 had nothing to bring back; K1, R1 and R4 are in stock.
	{"exceptions", "months", row{"kind": "reached back"}, row{"times": "8"}},
	{"exceptions", "months", row{"kind": "without authority"}, row{"times": "4"}},
	{"calibration", "reach", row{"of": "K1"}, row{"sensor": "H1", "as_found": "15 C"}},
	// The store was read from 05:15 on; what is between 50 and 70 % is within only where both ends are: 05:15 to 18:15 is outside.
	{"climate", "limits", row{"place": "store"}, row{"readings": "3", "outside": "13:00", "times_outside": "1", "unproven": "5:15", "verdict": "OUTSIDE of its limits"}},
	{"climate", "stretches", row{"was": "OUTSIDE"}, row{"from": "2025-06-10T05:15:00-03:00", "to": "2025-06-10T18:15:00-03:00", "lots": "8C30", "bundles": "1"}},
	// K2 came at 05:00: a quarter of an hour before the first reading.
	{"climate", "stock", row{"bundle": "K2"}, row{"lot": "8C30", "outside": "13:00", "unproven": "0:15", "to": ""}},
	{"climate", "days", row{"day": "2025-06-10"}, row{"readings": "3", "coldest_c": "21", "warmest_c": "30", "driest_percent": "50", "dampest_percent": "70",
		"weather": "rain", "read_by": "A1 A2"}},
	{"people", "people", row{"badge": "A9"}, row{"state": "LEFT", "may_issue": "no", "until": "2025-06-10"}},
	{"people", "people", row{"badge": "Q1"}, row{"may_issue": "no", "may_decide": "yes"}},
	{"people", "training", row{"badge": "A2"}, row{"on": "", "state": "MAY ISSUE AND WAS NOT TRAINED"}},
	{"people", "training", row{"badge": "A1"}, row{"rules": "example-store-climate", "on": "2025-06-01", "state": "in force"}},
	{"people", "work", row{"badge": "F1"}, row{"issues": "1", "unauthorised": "1", "state": "set up, ACTED WITHOUT AUTHORITY"}},
	{"people", "work", row{"badge": "A1"}, row{"issues": "1", "returns": "3", "unauthorised": "0", "state": "set up"}},
	{"people", "work", row{"badge": "Q1"}, row{"decisions": "3"}},
}

func TestReportsSayWhatAnAuditorStopsAt(t *testing.T) {
	t.Parallel()
	dbtest.Whole(t, func(t *testing.T, open func() *db.DB) {
		a := audited(t, open())
		reports := map[string]report.Made{}
		for _, f := range stops {
			q := days(t)
			if f.report == "trace-joint" {
				q.Subject = "J-1"
			}
			if _, ok := reports[f.report]; !ok {
				reports[f.report] = made(t, a, f.report, q)
			}
			f.hold(t, reports[f.report])
		}
	})
}

// A report may be made as it was known: before the check of its sensor H1 was in
// range all along and nothing reached back; and by another set, which has to be
// approved. The head says so.
func TestReportsAreJudgedAgain(t *testing.T) {
	t.Parallel()
	dbtest.Whole(t, func(t *testing.T, open func() *db.DB) {
		a := audited(t, open())
		q := days(t)
		q.Known = at(t, "2025-06-11 08:59")
		for _, f := range []figure{
			// From the first reading at 05:20 to 08:59 of the next day.
			{"oven-history", "ovens", row{"place": "H1"}, row{"in_range": "27:39", "too_cold": "0:00", "lowest_c": "130"}},
			{"exceptions", "months", row{"kind": "late entry"}, row{"times": "2"}},
		} {
			f.hold(t, made(t, a, f.report, q))
		}
		for _, r := range rowsOf(t, made(t, a, "exceptions", q), "exceptions") {
			if r["kind"] == "reached back" {
				t.Errorf("known before the check: %v", r)
			}
		}
		if text := printed(t, made(t, a, "exceptions", q), show.AsTable, ""); !contains(text, "printed 2025-06-11 12:00 for QA1, AS KNOWN AT 2025-06-11 08:59") {
			t.Errorf("the head does not say what was known:\n%s", text)
		}
		r, err := report.Find("open-issues")
		if err != nil {
			t.Fatal(err)
		}
		q = report.Query{Again: app.Again{Rules: "reference-summed"}}
		_, err = r.Make(t.Context(), a, q)
		if ref, ok := refusal(err); !ok || ref.Code != inventory.RulesNotApproved {
			t.Errorf("by a set that was not approved: %v", err)
		}
	})
}

// Slip S5 of the yard was issued by the running reference rules; the set for
// portable ovens has the same four hours for it, and the answer names its row.
func TestReportByAnotherSet(t *testing.T) {
	t.Parallel()
	dbtest.Whole(t, func(t *testing.T, open func() *db.DB) {
		a := yard(t, open())
		q := days(t)
		own := find(t, rowsOf(t, made(t, a, "open-issues", q), "open"), row{"slip": "S5"})
		if own["rule"] != "reference-running/e70" {
			t.Errorf("by its own rules: %v", own)
		}
		approve(t, a, "reference-portable")
		q.Rules = "reference-portable"
		m := made(t, a, "open-issues", q)
		if got := find(t, rowsOf(t, m, "open"), row{"slip": "S5"}); got["rule"] != "reference-portable/e70" || got["due"] != own["due"] {
			t.Errorf("by another set: %v", got)
		}
		if text := printed(t, m, show.AsTable, ""); !contains(text, "JUDGED BY reference-portable, not by the rules that were in force") {
			t.Errorf("the head does not say by which set:\n%s", text)
		}
	})
}

// approve approves a set that ships.
func approve(t *testing.T, a *app.App, id string) {
	t.Helper()
	set, err := rules.Shipped(id)
	if err != nil {
		t.Fatal(err)
	}
	_, err = a.Record(t.Context(), app.Request{By: "QA1", Entry: &inventory.RulesApproved{ID: id, Edition: set.Edition, Digest: set.Digest, Text: set.Text}})
	if err != nil {
		t.Fatal(err)
	}
}

func refusal(err error) (*inventory.Refusal, bool) { return errors.AsType[*inventory.Refusal](err) }
