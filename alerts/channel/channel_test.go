package channel_test

import (
	"encoding/json"
	"io"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	webhooks "github.com/standard-webhooks/standard-webhooks/libraries/go"

	"ovenward/alerts/alarm"
	"ovenward/alerts/channel"
	"ovenward/inventory/measure"
)

// secret is that of the scheme's published test vector.
const secret = "whsec_MfKQ9r8GKYqrTwjUPD8ILPZIo2LaLaSw"

const noon measure.Instant = 1749124800 * 1_000_000 // 2025-06-05 12:00 UTC

func message(key string) channel.Message {
	items := []channel.Item{{Seq: 7, Event: "raised", Kind: "oven-cold", Subject: "H1", Priority: "high",
		What: "holding oven H1 reads 110 °C", Action: "bring it up to temperature", Left: "0:30"}}
	return channel.Message{Site: "yard", Key: key, Text: channel.Headline("yard", items), Items: items}
}

// TestTheSignatureIsThatOfThePublishedVector: Standard Webhooks, test vector of
// its libraries: message id, time 1614265330, {"test": 2432232314}.
func TestTheSignatureIsThatOfThePublishedVector(t *testing.T) {
	t.Parallel()
	hook, err := webhooks.NewWebhook(secret)
	if err != nil {
		t.Fatal(err)
	}
	got, err := hook.Sign("msg_p5jXN8AQM9LWM0D4loKWxJek", time.Unix(1614265330, 0), []byte(`{"test": 2432232314}`))
	if want := "v1,g0hM9SsE+OTPJTGt/tmIKtSyZlE3uFJELVlNIOLJ1OE="; err != nil || got != want {
		t.Errorf("signature %q, %v, want %q", got, err, want)
	}
}

// TestAWebhookIsSignedWithTheKeyAsItsID: the receiver verifies it with the
// scheme's own library.
func TestAWebhookIsSignedWithTheKeyAsItsID(t *testing.T) {
	t.Parallel()
	type call struct {
		head http.Header
		body []byte
	}
	calls := make(chan call, 1)
	server := httptest.NewServer(http.HandlerFunc(func(_ http.ResponseWriter, r *http.Request) {
		body, err := io.ReadAll(r.Body)
		if err != nil {
			t.Error(err)
		}
		calls <- call{r.Header, body}
	}))
	defer server.Close()
	w, err := channel.NewWebhook(server.URL, secret, []string{strings.TrimPrefix(server.URL, "http://")})
	if err != nil {
		t.Fatal(err)
	}
	if err := w.Send(t.Context(), message("yard-crib-7"), noon); err != nil {
		t.Fatal(err)
	}
	got := <-calls
	verify, err := webhooks.NewWebhook(secret)
	if err != nil {
		t.Fatal(err)
	}
	if err := verify.VerifyIgnoringTimestamp(got.body, got.head); err != nil {
		t.Errorf("the signature does not verify: %v", err)
	}
	if id := got.head.Get("webhook-id"); id != "yard-crib-7" {
		t.Errorf("webhook-id %q, want the message's key", id)
	}
	var body struct{ Data channel.Message }
	if err := json.Unmarshal(got.body, &body); err != nil || len(body.Data.Items) != 1 || body.Data.Items[0].Subject != "H1" {
		t.Errorf("body %s, %v: want the alarm of H1", got.body, err)
	}
}

func TestAnAnswerThatIsNoYesIsAnErrorAndNoRedirectIsFollowed(t *testing.T) {
	t.Parallel()
	for _, status := range []int{300, 302, 400, 410, 429, 500, 503} {
		reached := 0
		server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) {
			reached++
			w.Header().Set("Location", "/elsewhere")
			w.WriteHeader(status)
		}))
		w, err := channel.NewWebhook(server.URL, secret, []string{strings.TrimPrefix(server.URL, "http://")})
		if err != nil {
			t.Fatal(err)
		}
		if err := w.Send(t.Context(), message("k"), noon); err == nil {
			t.Errorf("status %d: no error", status)
		}
		server.Close()
		if reached != 1 {
			t.Errorf("status %d: %d calls, want 1", status, reached)
		}
	}
}

func TestAnAddressInsideTheNetworkIsNotReachedUnlessItIsAllowed(t *testing.T) {
	t.Parallel()
	server := httptest.NewServer(http.HandlerFunc(func(http.ResponseWriter, *http.Request) { t.Error("it was reached") }))
	defer server.Close()
	_, port, _ := strings.Cut(strings.TrimPrefix(server.URL, "http://"), ":")
	for _, url := range []string{server.URL, "http://localhost:" + port, "http://[::ffff:127.0.0.1]:" + port,
		"http://0.0.0.0:" + port, "http://169.254.169.254/latest", "http://10.0.0.5:8080", "http://[fd00::1]:80", "http://[fe80::1]:80"} {
		w, err := channel.NewWebhook(url, secret, []string{"127.0.0.1:1"})
		if err != nil {
			t.Fatal(err)
		}
		if err := w.Send(t.Context(), message("k"), noon); err == nil || !strings.Contains(err.Error(), "inside the network") {
			t.Errorf("%s: error %v, want one that it is inside the network", url, err)
		}
	}
}

// TestAFileHoldsEachMessageOnce, also where a program was killed while it wrote a
// line, or after it and before it could note so.
func TestAFileHoldsEachMessageOnce(t *testing.T) {
	t.Parallel()
	f := channel.File{Path: filepath.Join(t.TempDir(), "alarms.jsonl")}
	send := func(key string) {
		t.Helper()
		if err := f.Send(t.Context(), message(key), noon); err != nil {
			t.Fatal(err)
		}
	}
	send("yard-1")
	send("yard-1")
	whole, err := os.ReadFile(f.Path)
	if err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(string(whole), `(0:30 left) -> bring it up`) {
		t.Errorf("the line cannot be read by a person: %s", whole)
	}
	for cut := range len(whole) { // the second line, torn after every byte
		if err := os.WriteFile(f.Path, append(whole[:len(whole):len(whole)], whole[:cut]...), 0o600); err != nil {
			t.Fatal(err)
		}
		send("yard-2")
		if got := keys(t, f.Path); got != "yard-1 yard-2" {
			t.Fatalf("torn after %d bytes the file holds %s", cut, got)
		}
	}
	list := channel.Message{Site: "yard", Key: "yard-list-1", Body: `"key":"yard-3",`} // a text is no key
	if err := f.Send(t.Context(), list, noon); err != nil {
		t.Fatal(err)
	}
	send("yard-2") // it was told before the list, and the program was killed in between
	send("yard-3")
	if got, want := keys(t, f.Path), "yard-1 yard-2 yard-list-1 yard-3"; got != want {
		t.Errorf("the file holds %s, want %s", got, want)
	}
}

// keys returns the keys of a file's lines.
func keys(t *testing.T, path string) string {
	t.Helper()
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	var list []string
	for line := range strings.Lines(string(text)) {
		var m channel.Message
		if err := json.Unmarshal([]byte(line), &m); err != nil {
			t.Fatalf("%q: %v", line, err)
		}
		list = append(list, m.Key)
	}
	return strings.Join(list, " ")
}

// TestAShiftGoesOverMidnightAndOverTheChangeOfTheClocks: by the clock on the wall.
func TestAShiftGoesOverMidnightAndOverTheChangeOfTheClocks(t *testing.T) {
	t.Parallel()
	zone, err := time.LoadLocation("America/Halifax")
	if err != nil {
		t.Fatal(err)
	}
	night, err := channel.ParseSpan("22:00-06:00")
	if err != nil {
		t.Fatal(err)
	}
	for _, tt := range []struct {
		day   string
		hours int
	}{{"2026-01-15", 8}, {"2026-03-07", 7}, {"2026-10-31", 9}} { // 8 March spring forward, 1 November fall back
		from, err := time.ParseInLocation("2006-01-02 15:04", tt.day+" 12:00", zone)
		if err != nil {
			t.Fatal(err)
		}
		covered := 0
		for m := range 24 * 60 {
			if night.Covers(measure.At(from.Add(time.Duration(m)*time.Minute)), zone) {
				covered++
			}
		}
		if covered != tt.hours*60 {
			t.Errorf("the night after %s has %d minutes, want %d hours", tt.day, covered, tt.hours)
		}
	}
}

func FuzzParseSpan(f *testing.F) {
	for _, s := range []string{"", "22:00-06:00", "06:00 - 18:00", "6-18", "25:00-26:00", "06:00-06:00", "-", "06:00-18:00-22:00"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		s, err := channel.ParseSpan(text)
		if err == nil && (s.From < 0 || s.From >= 1440 || s.To < 0 || s.To >= 1440 || (text != "" && s.From == s.To)) {
			t.Errorf("%q is read as %+v", text, s)
		}
	})
}

func TestARouteIsToldOfWhatItAsksFor(t *testing.T) {
	t.Parallel()
	all := channel.Route{Name: "crib"}
	high := channel.Route{Name: "crib", Priority: alarm.High}
	over := channel.Route{Name: "crib", Cleared: true}
	late := channel.Route{Name: "chief", After: 15 * measure.Minute}
	day := channel.Route{Name: "day", Hours: channel.Span{From: 6 * 60, To: 11 * 60}}
	for _, tt := range []struct {
		name  string
		route channel.Route
		event alarm.Event
		to    alarm.State
		p     alarm.Priority
		want  bool
	}{
		{"raised", all, alarm.Raise, alarm.Unacknowledged, alarm.Low, true},
		{"raised while shelved", all, alarm.Raise, alarm.OnShelf, alarm.High, false},
		{"raised while suppressed", all, alarm.Raise, alarm.Suppressed, alarm.High, false},
		{"back from the shelf", all, alarm.Unshelve, alarm.Unacknowledged, alarm.Low, true},
		{"back from the shelf and over", all, alarm.Unshelve, alarm.Normal, alarm.Low, false},
		{"acknowledged", all, alarm.Ack, alarm.Acknowledged, alarm.High, false},
		{"over, not asked for", all, alarm.Clear, alarm.Returned, alarm.High, false},
		{"over, asked for", over, alarm.Clear, alarm.Returned, alarm.High, true},
		{"over on the shelf", over, alarm.Clear, alarm.OnShelf, alarm.High, false},
		{"less urgent", high, alarm.Raise, alarm.Unacknowledged, alarm.Medium, false},
		{"urgent enough", high, alarm.Raise, alarm.Unacknowledged, alarm.High, true},
		{"raised, for who comes second", late, alarm.Raise, alarm.Unacknowledged, alarm.High, false},
		{"escalated to it", late, "escalated to chief", alarm.Unacknowledged, alarm.High, true},
		{"escalated to another", late, "escalated to crib", alarm.Unacknowledged, alarm.High, false},
		{"outside of its hours", day, alarm.Raise, alarm.Unacknowledged, alarm.High, false},
	} {
		if got := tt.route.Wants(tt.event, tt.to, tt.p, noon, time.UTC); got != tt.want {
			t.Errorf("%s: told %t, want %t", tt.name, got, tt.want)
		}
	}
}

func TestTheHeadlineNamesTheMostUrgentFirstAndCountsTheRest(t *testing.T) {
	t.Parallel()
	var items []channel.Item
	for _, p := range []string{"low", "medium", "medium", "high", "low"} {
		items = append(items, channel.Item{Priority: p, What: "a " + p + " one", Action: "look", Event: "raised"})
	}
	want := "yard: HIGH a high one -> look; MEDIUM a medium one -> look; MEDIUM a medium one -> look; and 2 more"
	if got := channel.Headline("yard", items); got != want {
		t.Errorf("headline %q, want %q", got, want)
	}
}

func TestThePauseDoublesUpToHalfAnHour(t *testing.T) {
	t.Parallel()
	for attempts, want := range map[int64]measure.Duration{1: measure.Minute, 2: 2 * measure.Minute, 5: 16 * measure.Minute,
		6: 30 * measure.Minute, 1000: 30 * measure.Minute} {
		if got := channel.Backoff(attempts); got != want {
			t.Errorf("after %d attempts %s, want %s", attempts, got, want)
		}
	}
}
