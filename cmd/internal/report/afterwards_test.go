package report_test

import (
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"ovenward/cmd/internal/app"
	"ovenward/cmd/internal/report"
	"ovenward/cmd/internal/show"
	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/migrations/db"
	"ovenward/migrations/db/dbtest"
	"ovenward/storage/ovendb"
	"ovenward/storage/rules"
)

// afterwards is a week of work in the yard behind the time that is asked about:
// of each kind of fact at least one.
func afterwards(t *testing.T, a *app.App) {
	t.Helper()
	set, err := rules.Shipped("reference-summed")
	if err != nil {
		t.Fatal(err)
	}
	var confirmed []string
	for _, m := range set.Unconfirmed() {
		confirmed = append(confirmed, m.Row)
	}
	for i, e := range []inventory.Entry{
		&inventory.Returned{Slip: "S5", Unused: 3, Stubs: 20, Damaged: 2, Unidentified: 1, Into: "H1", As: "R5"},
		&inventory.Noted{Bundle: "R5", What: inventory.Porosity, Words: "in J-105"},
		&inventory.Issued{Slip: "S6", Bundle: "K1", Pieces: 9, Welder: "W3", Joints: []string{"J-101"}, Stage: "erection"},
		&inventory.Noted{Slip: "S6", What: inventory.Handful},
		&inventory.Scrapped{Bundle: "R5", Why: "porosity"},
		&inventory.Counted{Bundle: "K5", Pieces: 90, Why: "weekly count"},
		&inventory.Received{Lot: "8C01", Class: "E7018", Diameter: "1/8 in", Package: "carton", Bundle: "K8", Pieces: 70, Price: "0.90 EUR"},
		&inventory.Received{Lot: "7B21", Class: "E7018", Diameter: "1/8 in", Length: "14 in", Package: "hermetic can", Bundle: "K9", Pieces: 150, Price: "0.80 EUR"},
		&inventory.LotReleased{Lot: "9X02"},
		&inventory.CertificateSet{Lot: "9X02", Number: "C-9X02", SortKind: "3.1"},
		&inventory.CertificateSet{Lot: "7B21", Number: "C-7B21", SortKind: "3.1", Rejected: "altered"},
		&inventory.Extended{Lot: "4A10", Until: "2026-06-01", Reference: "T-1", Proposer: "QA2"},
		&inventory.HeldBack{Lot: "5D90", Why: "porosity elsewhere"},
		&inventory.Proposed{Proposal: "P1", Lot: "5D90", Disposition: "release", Why: "not of this lot"},
		&inventory.Decision{Proposal: "P1", Why: "agreed", Proposer: "A2"},
		&inventory.Opened{Bundle: "K3", Into: "H2"},
		&inventory.Moved{Bundle: "K4", Into: "H1"},
		&inventory.WentWet{Bundle: "R4"},
		&inventory.Baked{Bundle: "R1", Place: "B1", Set: "400 C", Layers: 1},
		&inventory.PlaceSet{Place: "H3", SortKind: "holding oven"},
		&inventory.PlaceSet{Place: "B1", SortKind: "bake oven"},
		&inventory.SensorSet{Sensor: "T3", Place: "H3"},
		&inventory.Calibrated{Sensor: "T2", Error: "9 C", Due: "2026-06-11"},
		&inventory.JointSet{Joint: "J-101", Job: "hull", Classes: []string{"E7018"}},
		&inventory.PersonSet{Person: "A1", Name: "A. Reyes", Roles: []inventory.Role{inventory.Attendant}, Since: "2025-06-12"},
		&inventory.PersonSet{Person: "QA1", Name: "Q. Holm", Roles: []inventory.Role{inventory.QA}, Since: "2025-06-12"},
		&inventory.RulesApproved{ID: set.ID, Text: set.Text, Confirmed: confirmed},
		&inventory.RulesUsed{Rules: set.ID},
		&inventory.SiteSet{Zone: halifax, Shifts: "07:00-19:00,19:00-07:00", Stubs: "ground=50"},
	} {
		when := at(t, "2025-06-11 12:01").Add(measure.Duration(i) * measure.Minute)
		by := "QA1"
		if e.Kind() == "propose" {
			by = "A2"
		}
		if _, err := a.Record(t.Context(), app.Request{At: when, Noted: when, By: by, Entry: e}); err != nil {
			t.Fatalf("%s: %v", e.Kind(), err)
		}
	}
	var list []ovendb.Reading
	for _, sensor := range []string{"H1", "T2", "B1"} {
		for from := at(t, "2025-06-11 13:30"); from < measure.At(a.Now()); from = from.Add(measure.Hour) {
			list = append(list, ovendb.Reading{Sensor: sensor, At: from, Temp: measure.Celsius(60)})
		}
	}
	if _, err := a.AddReadings(t.Context(), list); err != nil {
		t.Fatal(err)
	}
}

func watch(t *testing.T, a *app.App, when string) {
	t.Helper()
	if _, _, err := a.Watch(t.Context(), at(t, when)); err != nil {
		t.Fatal(err)
	}
}

// TestWhatHappensAfterwardsChangesNoReport makes each report of two days past,
// before and after a week in which everything else happened.
func TestWhatHappensAfterwardsChangesNoReport(t *testing.T) {
	t.Parallel()
	dbtest.Whole(t, func(t *testing.T, open func() *db.DB) {
		a := yard(t, open())
		later := at(t, "2025-06-18 12:00").Time()
		a.Now = func() time.Time { return later }
		q := report.Query{From: at(t, "2025-06-10 00:00"), To: at(t, "2025-06-11 12:00"), At: at(t, "2025-06-11 12:00")}
		watch(t, a, "2025-06-11 12:00")
		before := map[string]string{}
		for _, r := range report.All() {
			if r.Over != report.Ever {
				before[r.Name] = masked(printed(t, made(t, a, r.Name, q), show.AsJSON, ""))
			}
		}
		afterwards(t, a)
		watch(t, a, "2025-06-18 12:00")
		for name, was := range before {
			if diff := cmp.Diff(was, masked(printed(t, made(t, a, name, q), show.AsJSON, ""))); diff != "" {
				t.Errorf("report %s changed by what happened afterwards (-before +after):\n%s", name, diff)
			}
		}
	})
}
