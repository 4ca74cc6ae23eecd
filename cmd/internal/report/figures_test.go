package report_test

import (
	"encoding/csv"
	"slices"
	"strings"
	"testing"

	"ovenward/cmd/internal/app"
	"ovenward/cmd/internal/report"
	"ovenward/cmd/internal/show"
	"ovenward/migrations/db"
	"ovenward/migrations/db/dbtest"
)

// row is a line of a part as a spreadsheet has it, by the names of its columns.
type row map[string]string

// rowsOf reads a part back from its CSV.
func rowsOf(t *testing.T, m report.Made, part string) (rows []row) {
	t.Helper()
	all, err := csv.NewReader(strings.NewReader(printed(t, m, show.AsCSV, part))).ReadAll()
	if err != nil || len(all) == 0 {
		t.Fatalf("%s/%s: %v", m.Name, part, err)
	}
	for _, cells := range all[1:] {
		r := row{}
		for i, c := range cells {
			r[all[0][i]] = show.Undefuse(c)
		}
		rows = append(rows, r)
	}
	return rows
}

// find returns the one row that has all the values of a key.
func find(t *testing.T, rows []row, key row) row {
	t.Helper()
	var found []row
	for _, r := range rows {
		if r.has(key) {
			found = append(found, r)
		}
	}
	if len(found) != 1 {
		t.Errorf("%d rows with %v, want one of %v", len(found), key, rows)
		return row{}
	}
	return found[0]
}

func (r row) has(key row) bool {
	for name, value := range key {
		if got, ok := r[name]; !ok || got != value {
			return false
		}
	}
	return true
}

// figure is a row that a report must have, found by its key.
type figure struct {
	report, part string
	key, want    row
}

// The yard's two days, counted by hand from testdata/shop.jsonl.
var figures = []figure{
	// J-101 was named by S1; S4 named it too and was corrected to J-104. S1: 40 out
	// at 07:00, 14 + 1 back at 09:30: 25 used, out 2:30.
	{"trace-joint", "slips", row{"slip": "S1"}, row{"lot": "7B21", "from": "K1", "certificate": "C-7B21 3.1", "used": "25", "exposed_out": "0:00",
		"exposed_back": "2:30", "limit": "4:00", "bakes": "0", "out": "2025-06-10T07:00:00-03:00"}},
	{"trace-joint", "history", row{"place": "H1"}, row{"coldest_c": "130", "counted_as": "kept"}},
	// S2: 20 out, 5 back, 12 stubs: 15 used of which 3 left none; out 4:30 of 4:00.
	{"recall", "joints", row{"slip": "S2"}, row{"joint": "", "used": "15", "without_stub": "3", "past_limit": "0:30"}},
	{"recall", "joints", row{"slip": "S5"}, row{"joint": "J-105", "back": "", "without_stub": "30", "past_limit": "1:00"}},
	// K1: 150 - 40 - 20 - 10 - 30 = 50.
	{"recall", "left", row{"bundle": "K1"}, row{"amount": "50", "place": "H1"}},
	{"recall", "left", row{"bundle": "S5"}, row{"amount": "30", "welder": "W7"}},
	{"recall", "losses", row{"bundle": "R2"}, row{"amount": "5", "what": "scrap"}},
	{"issue-history", "slip", row{"item": "due back"}, row{"value": "2025-06-10 11:00"}},
	{"issue-history", "slip", row{"item": "clock policy"}, row{"value": "running"}},
	{"issue-history", "acts", row{"kind": "return"}, row{"by": "A1", "late": ""}},
	// H1 was cold from 12:40, the last good reading, to 14:10, the next: 1:30. Of the
	// 36 hours it was unread until 05:10: 36:00 - 5:10 - 1:30 = 29:20.
	{"oven-history", "ovens", row{"place": "H1"}, row{"too_cold": "1:30", "unproven": "5:10", "in_range": "29:20", "lowest_c": "100", "highest_c": "130"}},
	{"oven-history", "deviations", row{"place": "H1", "found": "too cold"}, row{"from": "2025-06-10T12:40:00-03:00", "lasted": "1:30", "inside": "K1 R1 R2"}},
	// H2 shows one degree too much.
	{"oven-history", "ovens", row{"place": "H2"}, row{"lowest_c": "130", "highest_c": "130"}},
	{"oven-history", "decisions", row{"place": "H1", "bundle": "R2"}, row{"what": "scrapped all of R2: over the limit"}},
	// R1: 18:30 to 21:30, at 405 C from 19:20 on: 2:10 of soak where 2 h are asked. Its
	// readings are one at 18:30, four from 18:40, fourteen from 19:20.
	{"bakes", "bakes", row{"bundle": "R1"}, row{"result": "valid", "lasted": "3:00", "set_c": "400", "readings": "19", "lowest_c": "150", "highest_c": "405",
		"layers": "3", "bakes": "1", "bakes_max": "1"}},
	// 1 damaged and 5 scrapped at 0.40 EUR.
	{"discards", "discards", row{"of": "S1"}, row{"amount": "1", "value": "0.40 EUR"}},
	{"discards", "discards", row{"of": "R2"}, row{"amount": "5", "value": "2.00 EUR", "judged": "bake", "by": "A1"}},
	{"discards", "reasons", row{"why": "over the limit"}, row{"times": "1", "rods": "5"}},
	{"open-issues", "open", row{"slip": "S5"}, row{"welder": "W7", "out_for": "5:00", "exposed": "5:00", "due": "2025-06-11T11:00:00-03:00", "state": "OVERDUE since 11:00"}},
	// The day shift of 10 June: S1, S2, S4 with 40 + 20 + 12 rods out, 14 + 5 + 2 back.
	{"shift", "shifts", row{"shift": "2025-06-10 06:00-18:00"}, row{"issues": "3", "rods_out": "72", "returns": "3", "rods_back": "21", "scrapped": "1", "entered_late": "1"}},
	{"shift", "shifts", row{"shift": "2025-06-10 18:00-06:00"}, row{"issues": "1", "returns": "1", "handed_over_to": "A1"}},
	{"shift", "days", row{"day": "2025-06-10"}, row{"issues": "4", "returns": "3"}},
	{"shift", "days", row{"day": "2025-06-11"}, row{"issues": "1", "returns": "1"}},
	{"shift", "checks", row{"place": "H1", "shift": "2025-06-10 06:00-18:00"}, row{"readings": "24", "too_cold": "1:30", "check": "done"}},
	{"shift", "entered", row{"late": "1:30"}, row{"by": "A1", "entered": "2025-06-10T16:30:00-03:00"}},
	{"shift", "open", row{"slip": "S5"}, row{"out_for": "5:00"}},
	{"shift", "handovers", row{"from": "A2"}, row{"to": "A1", "ovens": "H2 unproven", "holds": "K4, R4"}},
	{"shift-end", "back", row{"slip": "S5"}, row{"welder": "W7", "amount": "30", "due": "2025-06-11T11:00:00-03:00", "state": "OVERDUE since 11:00", "joints": "J-105"}},
	{"shift-end", "qa", row{"what": "R4"}, row{"lot": "5D90", "amount": "2", "place": "H2"}},
	{"shift-end", "qa", row{"what": "the whole lot"}, row{"lot": "9X02", "why": "not released by QA"}},
	{"qa-digest", "qa", row{"what": "K4"}, row{"amount": "68"}},
	{"qa-digest", "exceptions", row{"kind": "correction"}, row{"of": "slip S4", "by": "A2"}},
	{"qa-digest", "upkeep", row{"what": "backup"}, row{"last": "", "found": "ovenward backup"}},
	{"buying-digest", "expiring", row{"bundle": "K5"}, row{"state": "EXPIRED"}},
	{"receiving", "lots", row{"lot": "9X02"}, row{"waiting": "30:59", "released": "", "lacks": "QA has not released it; no certificate; neither date of manufacture nor expiry"}},
	{"receiving", "receipts", row{"bundle": "K3"}, row{"certificate": "", "seal": "intact"}},
	{"shelf-life", "expiring", row{"bundle": "K5"}, row{"state": "EXPIRED", "days_left": "-10"}},
	{"shelf-life", "expiring", row{"bundle": "K4"}, row{"state": "within 30 days", "days_left": "19"}},
	{"shelf-life", "undated", row{"bundle": "K3"}, row{"lot": "9X02"}},
	// T2 was due on 11 June: readings from 00:10 to 11:40, every half hour, are 24.
	{"calibration", "overdue", row{"sensor": "T2"}, row{"lasted": "12:00", "readings": "24", "first": "2025-06-11T00:10:00-03:00"}},
	{"calibration", "stock", row{"bundle": "K4"}, row{"sensor": "T2", "lot": "5D90"}},
	{"decisions", "log", row{"act": "decided"}, row{"of": "K2", "proposed_by": "QA1", "by": "QA2", "why": "the seal is tight"}},
	// Since 23:40, the last reading that counts, nothing is proven of H2: 12:20.
	{"decisions", "waiting", row{"bundle": "K4"}, row{"exposed_least": "0:00", "exposed": "12:20"}},
	{"exceptions", "exceptions", row{"kind": "late entry"}, row{"of": "slip S4", "by": "A1"}},
	{"exceptions", "exceptions", row{"kind": "correction"}, row{"of": "slip S4", "by": "A2", "with": "A1", "why": "the joint was misread"}},
	{"exceptions", "exceptions", row{"kind": "no joint"}, row{"of": "slip S2"}},
	{"exceptions", "exceptions", row{"kind": "past the limit"}, row{"of": "slip S2"}},
	{"exceptions", "exceptions", row{"kind": "stubs missing"}, row{"of": "slip S2"}},
	// W7: 12 stubs of 15 rods used are 80 %.
	{"stubs", "welders", row{"welder": "W7"}, row{"used": "15", "stubs": "12", "missing": "3", "recovery_percent": "80", "target_percent": "97",
		"verdict": "BELOW the ground target of 97 %, CHARGE: below 90 %"}},
	// 7B21: 300 came; S1, S2, S3 used 25 + 15 + 6 = 46; 1 damaged; 5 scrapped: 248.
	{"stubs", "lots", row{"lot": "7B21"}, row{"opening": "0", "received": "300", "used": "46", "damaged": "1", "scrapped": "5", "closing": "248", "crib_now": "218", "out_now": "30"}},
	{"stubs", "lots", row{"lot": "4A10"}, row{"found_missing": "2", "closing": "98"}},
	{"stubs", "counts", row{"bundle": "K5"}, row{"books": "100", "counted": "98", "missing": "2"}},
	{"stubs", "slips", row{"slip": "S2"}, row{"balance": "3 stubs MISSING"}},
	{"rules", "in_force", row{"rules": "reference-running"}, row{"for": "the site", "to": ""}},
	{"rules", "limits", row{"row": "e70"}, row{"says": "A5.1, A5.5, low-hydrogen, 70 to 79 ksi, without R: 4 h", "status": "shop"}},
	{"segregation", "contents", row{"bundle": "R4"}, row{"place": "H2", "family": "low-hydrogen"}},
	// Used in the week: 25 + 15 + 10 + 6 = 56 of 112 issued; 14 + 5 + 2 + 4 = 25 back.
	{"forecast-actual", "weeks", row{"week": "2025-W24"}, row{"issued": "112", "used": "56", "returned": "25", "spoilt": "1", "not_planned": "56"}},
	{"forecast-actual", "not_forecast", row{"what": "slip S2"}, row{"why": "no joint is named: tacks, repairs or attachments"}},
}

func TestReportsSayWhatWasCountedByHand(t *testing.T) {
	t.Parallel()
	dbtest.Whole(t, func(t *testing.T, open func() *db.DB) {
		hold(t, yard(t, open()), days(t), figures)
	})
}

// hold checks figures of reports made with one query.
func hold(t *testing.T, a *app.App, q report.Query, figures []figure) {
	t.Helper()
	reports := map[string]report.Made{}
	for _, f := range figures {
		if _, ok := reports[f.report]; !ok {
			reports[f.report] = made(t, a, f.report, q)
		}
		f.hold(t, reports[f.report])
	}
}

// hold checks a figure of a report.
func (f figure) hold(t *testing.T, m report.Made) {
	t.Helper()
	r := find(t, rowsOf(t, m, f.part), f.key)
	for name, want := range f.want {
		if got, ok := r[name]; !ok || got != want {
			t.Errorf("%s/%s %v: %s is %q (%t), want %q", f.report, f.part, f.key, name, got, ok, want)
		}
	}
}

// Every report is in the figures, so that none is only looked at.
func TestEveryReportIsCountedByHand(t *testing.T) {
	t.Parallel()
	counted := map[string]bool{}
	for _, f := range slices.Concat(figures, stops) {
		counted[f.report] = true
	}
	for _, r := range report.All() {
		if !counted[r.Name] {
			t.Errorf("report %s has no figure that was counted by hand", r.Name)
		}
	}
}
