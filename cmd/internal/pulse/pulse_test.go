package pulse_test

import (
	"context"
	"encoding/json"
	"errors"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"ovenward/alerts/alarm"
	"ovenward/alerts/alarmdb"
	"ovenward/cmd/internal/app"
	"ovenward/cmd/internal/pulse"
	"ovenward/inventory/measure"
)

// bench is a pulse on a clock and a database that a test sets.
type bench struct {
	t      *testing.T
	now    time.Time
	vitals app.Vitals
	broken error
	*pulse.Pulse
}

func newBench(t *testing.T) *bench {
	b := &bench{t: t, now: time.Date(2026, 3, 2, 10, 0, 0, 0, time.UTC)}
	b.Pulse = pulse.New(func() time.Time { return b.now }, []string{"crib"},
		func(context.Context) (app.Vitals, error) {
			b.vitals.At = measure.At(b.now)
			return b.vitals, b.broken
		})
	return b
}

// get asks one of the two addresses.
func (b *bench) get(path string) (int, string) {
	b.t.Helper()
	mux := http.NewServeMux()
	b.Mount(mux)
	w := httptest.NewRecorder()
	mux.ServeHTTP(w, httptest.NewRequestWithContext(b.t.Context(), http.MethodGet, path, nil))
	return w.Code, w.Body.String()
}

// health asks /healthz and returns the status and what is wrong.
func (b *bench) health() (int, string) {
	b.t.Helper()
	status, body := b.get("/healthz")
	var h pulse.Health
	if err := json.Unmarshal([]byte(body), &h); err != nil {
		b.t.Fatalf("%q: %v", body, err)
	}
	var wrong []string
	for _, c := range h.Checks {
		if !c.OK {
			wrong = append(wrong, c.Name+": "+c.Says)
		}
	}
	return status, strings.Join(wrong, "; ")
}

func (b *bench) want(what string, status int, wrong string) {
	b.t.Helper()
	got, why := b.health()
	if got != status || (wrong == "") != (why == "") || !strings.Contains(why, wrong) {
		b.t.Errorf("%s: status %d, wrong: %q, want %d and %q", what, got, why, status, wrong)
	}
}

func TestHealthSaysWhatIsWrong(t *testing.T) {
	t.Parallel()
	b := newBench(t)
	b.want("at the start", http.StatusOK, "")
	b.now = b.now.Add(pulse.LookWithin + time.Second)
	b.want("without a look", http.StatusServiceUnavailable, "none yet; the program started 3m1s ago")
	b.Looked(time.Millisecond)
	b.want("after a look", http.StatusOK, "")
	b.now = b.now.Add(4 * time.Minute)
	b.want("four minutes later", http.StatusServiceUnavailable, "look: the last look was 4m0s ago")
	b.Looked(time.Millisecond)
	b.broken = errors.New("disk I/O error")
	b.want("without a database", http.StatusServiceUnavailable, "database: it does not answer: disk I/O error")
	b.broken = nil
	b.Also(pulse.Check{Name: "ledger", Ask: func(context.Context, app.Vitals) (string, string) { return "fact 7 was changed", "" }})
	b.want("with a check that fails", http.StatusServiceUnavailable, "ledger: fact 7 was changed")
}

// TestAStandByIsWellWhileTheLeaderLooks, of which it knows by what is on record.
func TestAStandByIsWellWhileTheLeaderLooks(t *testing.T) {
	t.Parallel()
	b := newBench(t)
	b.Leads(false)
	b.vitals.Watched = alarmdb.Mark{At: measure.At(b.now)}
	b.now = b.now.Add(2 * time.Minute)
	b.want("the leader looked two minutes ago", http.StatusOK, "")
	if _, body := b.get("/healthz"); !strings.Contains(body, `"role":"stand-by"`) {
		t.Errorf("the role is not told: %s", body)
	}
	b.now = b.now.Add(2 * time.Minute)
	b.want("the leader looked four minutes ago", http.StatusServiceUnavailable, "the leader's last look was 4m0s ago")
}

func TestMetricsCount(t *testing.T) {
	t.Parallel()
	b := newBench(t)
	b.vitals = app.Vitals{Open: 41, Watched: alarmdb.Mark{At: measure.At(time.Unix(1772445600, 0))},
		Alarms: []alarmdb.Count{{State: alarm.Unacknowledged, Priority: alarm.High, N: 3}},
		Channels: []alarmdb.Untold{{Channel: "crib", Events: 7, Oldest: measure.At(b.now.Add(-time.Minute)), Failed: 2},
			{Channel: "was taken out", Events: 9000}}}
	b.Looked(30 * time.Millisecond)
	b.Readings("mqtt", 12, 2)
	b.Readings("mqtt", 1, 0)
	b.Ran("conditions", false, nil)
	b.Ran("conditions", true, errors.New("disk full"))
	status, body := b.get("/metrics")
	if status != http.StatusOK {
		t.Fatalf("status %d: %s", status, body)
	}
	for _, want := range []string{
		"ovenward_open_bundles 41\n", `ovenward_alarms{priority="high",state="unacknowledged"} 3` + "\n",
		`ovenward_outbox_events{channel="crib"} 7`, `ovenward_outbox_age_seconds{channel="crib"} 60`,
		`ovenward_outbox_failed_attempts{channel="crib"} 2`, "ovenward_leader 1", "ovenward_database_up 1",
		"ovenward_looked_timestamp_seconds 1.7724456e+09", `ovenward_look_seconds_bucket{le="0.02"} 0`,
		`ovenward_look_seconds_bucket{le="0.05"} 1`, `ovenward_readings_received_total{source="mqtt"} 13`,
		`ovenward_readings_rejected_total{source="mqtt"} 2`, `ovenward_jobs_run_total{job="conditions"} 2`,
		`ovenward_jobs_late_total{job="conditions"} 1`, `ovenward_jobs_failed_total{job="conditions"} 1`,
	} {
		if !strings.Contains(body, want) {
			t.Errorf("%q is missing", want)
		}
	}
	if strings.Contains(body, "taken out") {
		t.Error("a channel that is not in the file is counted")
	}
	b.broken = errors.New("locked")
	if _, body := b.get("/metrics"); !strings.Contains(body, "ovenward_database_up 0") || strings.Contains(body, "ovenward_open_bundles 41") {
		t.Error("without a database it must say so and no more")
	}
}
