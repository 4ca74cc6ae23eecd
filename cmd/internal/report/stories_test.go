package report_test

import (
	"encoding/json"
	"testing"
	"time"

	"ovenward/cmd/internal/app"
	"ovenward/cmd/internal/report"
	"ovenward/cmd/internal/show"
	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/migrations/db"
	"ovenward/migrations/db/dbtest"
)

// told is a story of the timelines, at an instant after it.
func told(t *testing.T, d *db.DB, name, now string) *app.App {
	t.Helper()
	return replayed(t, d, "../../../testdata/timelines/"+name+".jsonl", now)
}

// record records a fact at an instant.
func record(t *testing.T, a *app.App, when measure.Instant, by string, e inventory.Entry) {
	t.Helper()
	if _, err := a.Record(t.Context(), app.Request{At: when, By: by, Entry: e}); err != nil {
		t.Fatalf("%s: %v", e.Kind(), err)
	}
}

// S31: an issue at 22:15 on 10 June and its return at 01:50 on the 11th are both
// of the night shift of the 10th, and of two days.
func TestNightShiftIsOneShiftAndTwoDays(t *testing.T) {
	t.Parallel()
	dbtest.Whole(t, func(t *testing.T, open func() *db.DB) {
		a := told(t, open(), "s31-across-midnight", "2025-06-11 06:30")
		record(t, a, at(t, "2025-06-11 06:20"), "A1", &inventory.SiteSet{Zone: halifax, Shifts: "06:00-18:00,18:00-06:00"})
		q := report.Query{From: at(t, "2025-06-10 18:00"), To: at(t, "2025-06-11 06:00")}
		hold(t, a, q, []figure{
			{"shift", "shifts", row{"shift": "2025-06-10 18:00-06:00"}, row{"issues": "1", "rods_out": "40", "returns": "1", "rods_back": "10", "hours": "12:00"}},
			{"shift", "days", row{"day": "2025-06-10"}, row{"issues": "1", "returns": "0"}},
			{"shift", "days", row{"day": "2025-06-11"}, row{"issues": "0", "returns": "1"}},
			{"shift", "moves", row{"kind": "return"}, row{"shift": "2025-06-10 18:00-06:00", "verdict": "hold: held 0 s of 4 h"}},
		})
		// Back in H1 at 01:50, the rods are in hold for four hours.
		hold(t, a, report.Query{At: at(t, "2025-06-11 02:00")}, []figure{
			{"shift-end", "kept", row{"state": "in hold"}, row{"amount": "10", "place": "H1", "since": "2025-06-11T01:50:00-03:00", "ready": "2025-06-11T05:50:00-03:00"}},
		})
		byTime := made(t, a, "shift", report.Query{At: at(t, "2025-06-11 02:00")})
		if got := rowsOf(t, byTime, "shifts"); len(got) != 1 || got[0]["shift"] != "2025-06-10 18:00-06:00" {
			t.Errorf("the shift of 02:00 on 11 June is %v, want the night of the 10th", got)
		}
	})
}

// S32: the night in which New York's clock went back had thirteen hours, and
// 01:30 was there twice.
func TestNightOfTheClockChangeHasThirteenHours(t *testing.T) {
	t.Parallel()
	dbtest.Whole(t, func(t *testing.T, open func() *db.DB) {
		a := told(t, open(), "s32-clock-goes-back", "2025-11-02 12:00")
		record(t, a, at(t, "2025-11-02 11:00"), "A1", &inventory.SiteSet{Zone: "America/New_York", Shifts: "06:00-18:00,18:00-06:00"})
		q := report.Query{From: at(t, "2025-11-01 01:00"), To: at(t, "2025-11-02 12:00")} // midnight in New York is 01:00 in Halifax
		hold(t, a, q, []figure{
			{"shift", "shifts", row{"shift": "2025-11-01 18:00-06:00"}, row{"hours": "13:00", "issues": "3", "returns": "3"}},
			{"shift", "days", row{"day": "2025-11-01"}, row{"hours": "24:00", "issues": "0"}},
			{"shift", "days", row{"day": "2025-11-02"}, row{"hours": "25:00", "issues": "3"}},
			// 01:30 EDT is UTC-4, the second 01:30 EST is UTC-5.
			{"shift", "moves", row{"slip": "S2", "kind": "issue"}, row{"at": "2025-11-02T01:30:00-04:00"}},
			{"shift", "moves", row{"slip": "S3", "kind": "issue"}, row{"at": "2025-11-02T01:30:00-05:00"}},
		})
		text := printed(t, made(t, a, "shift", q), show.AsTable, "moves")
		for _, want := range []string{"2025-11-02 01:30 EDT", "2025-11-02 01:30 EST"} {
			if !contains(text, want) {
				t.Errorf("the hour that is there twice is not told apart, want %q in\n%s", want, text)
			}
		}
	})
}

// S35: three slips of an outage, keyed 2:25, 2:12 and 0:55 late, are listed by
// when they were keyed.
func TestLatePaperSlipsAreListed(t *testing.T) {
	t.Parallel()
	dbtest.Whole(t, func(t *testing.T, open func() *db.DB) {
		a := told(t, open(), "s35-network-down", "2025-06-05 12:40")
		q := report.Query{From: at(t, "2025-06-05 09:00"), To: at(t, "2025-06-05 10:00")}
		hold(t, a, q, []figure{
			{"exceptions", "exceptions", row{"of": "slip S1"}, row{"kind": "late entry", "when": "2025-06-05T09:20:00-03:00",
				"what": "issued 20 of K1 on slip S1 to W3 for J-101, at 2025-06-05 06:55, entered 2 h 25 min later"}},
			{"exceptions", "exceptions", row{"of": "slip S2"}, row{"what": "issued 20 of K1 on slip S2 to W4 for J-102, at 2025-06-05 07:10, entered 2 h 12 min later"}},
			{"exceptions", "exceptions", row{"of": "slip S3"}, row{"what": "issued 20 of K1 on slip S3 to W5 for J-103, at 2025-06-05 08:30, entered 55 min later"}},
			{"shift", "entered", row{"happened": "2025-06-05T08:30:00-03:00"}, row{"late": "0:55"}},
		})
	})
}

// S42: of 1,200 rods 140 came back and 1,060 were used; 1,020 stubs are 96.2 %:
// below 97 % on the ground, above 95 % in erection, and no charge.
func TestStubRecoveryOfAMonth(t *testing.T) {
	t.Parallel()
	dbtest.Whole(t, func(t *testing.T, open func() *db.DB) {
		a := replayed(t, open(), "testdata/s42-stubs.jsonl", "2025-06-30 12:00")
		q := report.Query{From: at(t, "2025-06-01 00:00"), To: at(t, "2025-06-30 12:00")}
		m := made(t, a, "stubs", q)
		got := find(t, rowsOf(t, m, "welders"), row{"welder": "W3"})
		want := row{"issued": "1200", "unused": "140", "used": "1060", "stubs": "1020", "missing": "40", "recovery_percent": "96.226415",
			"verdict": "BELOW the ground target of 97 %, meets the erection target of 95 %, no charge"}
		if !got.has(want) {
			t.Errorf("got %v, want %v", got, want)
		}
		if text := printed(t, m, show.AsTable, "welders"); !contains(text, "96.2 %") {
			t.Errorf("want 96.2 %% in\n%s", text)
		}
	})
}

// S43: at the end of the shift at 15:00 W3 is out 2:30, W7 4:20 and overdue since
// 14:40, W9 1:10.
func TestShiftEndListsWhatIsOpen(t *testing.T) {
	t.Parallel()
	dbtest.Whole(t, func(t *testing.T, open func() *db.DB) {
		a := told(t, open(), "s43-hand-over", "2025-06-05 15:30")
		q := report.Query{From: at(t, "2025-06-05 06:00"), To: at(t, "2025-06-05 15:00")}
		hold(t, a, q, []figure{
			{"shift", "open", row{"welder": "W3"}, row{"out_for": "2:30", "state": "within the limit"}},
			{"shift", "open", row{"welder": "W7"}, row{"out_for": "4:20", "state": "OVERDUE since 14:40"}},
			{"shift", "open", row{"welder": "W9"}, row{"out_for": "1:10", "state": "within the limit"}},
			{"shift", "shifts", row{"shift": "2025-06-05 06:00-15:00"}, row{"handed_over_to": "A2"}},
			{"shift", "handovers", row{"to": "A2"}, row{"from": "A1", "slips": "S7 S3 S9", "overdue": "S7", "ovens": "", "holds": ""}},
		})
		then := made(t, a, "open-issues", report.Query{At: at(t, "2025-06-05 14:30")})
		if got := rowsOf(t, then, "open"); len(got) != 3 || got[0]["welder"] != "W7" || got[0]["state"] != "within the limit" {
			t.Errorf("open at 14:30: %v, want three, W7 first and still within its limit", got)
		}
	})
}

// What a program reads has the types that its columns say.
func TestJSONIsTyped(t *testing.T) {
	t.Parallel()
	a := yard(t, dbtest.SQLite(t))
	var got struct {
		Report string `json:"report"`
		From   int64  `json:"from_us"`
		Asked  string `json:"asked_by"`
		Rules  []struct {
			ID string `json:"id"`
		} `json:"rules"`
		Parts []struct {
			Name string `json:"name"`
			Rows []struct {
				Bundle   string   `json:"bundle"`
				From     int64    `json:"from_us"`
				Lasted   float64  `json:"lasted_s"`
				Set      float64  `json:"set_c"`
				Sensors  []string `json:"sensors"`
				Layers   int64    `json:"layers"`
				Load     *float64 `json:"load_g"`
				Readings int64    `json:"readings"`
			} `json:"rows"`
		} `json:"parts"`
	}
	if err := json.Unmarshal([]byte(printed(t, made(t, a, "bakes", days(t)), show.AsJSON, "")), &got); err != nil {
		t.Fatal(err)
	}
	r := got.Parts[0].Rows[0]
	if got.Report != "bakes" || got.From != int64(at(t, "2025-06-10 00:00")) || got.Asked != "QA1" || got.Rules[0].ID != "reference-running" {
		t.Errorf("head %+v", got)
	}
	if r.Bundle != "R1" || r.From != int64(at(t, "2025-06-10 18:30")) || r.Lasted != 3*time.Hour.Seconds() || r.Set != 400 || r.Sensors[0] != "B1" ||
		r.Layers != 3 || r.Load != nil || r.Readings != 19 {
		t.Errorf("row %+v", r)
	}
}
