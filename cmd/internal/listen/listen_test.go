package listen_test

import (
	"context"
	"errors"
	"io"
	"log/slog"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"ovenward/cmd/internal/listen"
)

func open(t *testing.T, address string) *listen.Listener {
	t.Helper()
	l, err := listen.Open(t.Context(), address, slog.New(slog.DiscardHandler))
	if err != nil {
		t.Fatal(err)
	}
	return l
}

// serve answers until stop is called, which returns what Serve returned.
func serve(t *testing.T, l *listen.Listener, patience time.Duration) (stop func() error) {
	t.Helper()
	ctx, cancel := context.WithCancel(t.Context())
	ended := make(chan error, 1)
	go func() { ended <- l.Serve(ctx, patience) }()
	return func() error {
		cancel()
		return <-ended
	}
}

func say(text string) http.HandlerFunc {
	return func(w http.ResponseWriter, _ *http.Request) { _, _ = io.WriteString(w, text) }
}

// ask sends a request over a client that keeps nothing open.
func ask(t *testing.T, c *http.Client, method, url string, headers ...string) (status int, body string, h http.Header) {
	t.Helper()
	r, err := http.NewRequestWithContext(t.Context(), method, url, nil)
	if err != nil {
		t.Fatal(err)
	}
	for i := 0; i < len(headers); i += 2 {
		r.Header.Set(headers[i], headers[i+1])
	}
	answer, err := c.Do(r)
	if err != nil {
		t.Fatal(err)
	}
	defer answer.Body.Close()
	text, err := io.ReadAll(answer.Body)
	if err != nil {
		t.Fatal(err)
	}
	return answer.StatusCode, string(text), answer.Header
}

func TestWhatIsMountedIsAnswered(t *testing.T) {
	t.Parallel()
	l := open(t, "127.0.0.1:0")
	l.Mux.HandleFunc("POST /readings", say("taken"))
	stop := serve(t, l, time.Minute)
	client := &http.Client{Transport: &http.Transport{DisableKeepAlives: true}}
	url := "http://" + l.Address()
	if status, body, h := ask(t, client, http.MethodPost, url+"/readings"); status != http.StatusOK || body != "taken" ||
		h.Get("X-Content-Type-Options") != "nosniff" {
		t.Errorf("status %d, %q, headers %v", status, body, h)
	}
	if status, _, _ := ask(t, client, http.MethodGet, url+"/readings"); status != http.StatusMethodNotAllowed {
		t.Errorf("a GET is answered with %d, want 405", status)
	}
	status, _, _ := ask(t, client, http.MethodPost, url+"/readings", "Origin", "https://elsewhere.example", "Sec-Fetch-Site", "cross-site")
	if status != http.StatusForbidden {
		t.Errorf("what a page of another site posts is answered with %d, want 403", status)
	}
	if err := stop(); err != nil {
		t.Errorf("Serve: %v", err)
	}
}

func TestASocketThatWasLeftBehindIsTakenOver(t *testing.T) {
	t.Parallel()
	path := filepath.Join(t.TempDir(), "o.sock")
	left, err := net.ListenUnix("unix", &net.UnixAddr{Name: path, Net: "unix"})
	if err != nil {
		t.Fatal(err)
	}
	left.SetUnlinkOnClose(false)
	if err := left.Close(); err != nil {
		t.Fatal(err)
	}
	l := open(t, "unix:"+path)
	l.Mux.HandleFunc("/", say("here"))
	stop := serve(t, l, time.Minute)
	if info, err := os.Stat(path); err != nil || info.Mode().Perm() != 0o660 {
		t.Errorf("the socket has mode %v, %v, want rw for user and group", info, err)
	}
	if _, err := listen.Open(t.Context(), "unix:"+path, slog.New(slog.DiscardHandler)); err == nil || !strings.Contains(err.Error(), "another program") {
		t.Errorf("a second one: %v, want that another program answers there", err)
	}
	dial := func(ctx context.Context, _, _ string) (net.Conn, error) {
		var d net.Dialer
		return d.DialContext(ctx, "unix", path)
	}
	client := &http.Client{Transport: &http.Transport{DisableKeepAlives: true, DialContext: dial}}
	if _, body, _ := ask(t, client, http.MethodGet, "http://ovenward/"); body != "here" {
		t.Errorf("the answer is %q", body)
	}
	if err := stop(); err != nil {
		t.Errorf("Serve: %v", err)
	}
}

func TestAFileThatIsNoSocketStays(t *testing.T) {
	t.Parallel()
	path := filepath.Join(t.TempDir(), "notes.txt")
	if err := os.WriteFile(path, []byte("mine"), 0o600); err != nil {
		t.Fatal(err)
	}
	_, err := listen.Open(t.Context(), "unix:"+path, slog.New(slog.DiscardHandler))
	if text, _ := os.ReadFile(path); err == nil || string(text) != "mine" {
		t.Errorf("error %v, the file holds %q", err, text)
	}
}

func TestAnAddressInUseIsSaidAtOnce(t *testing.T) {
	t.Parallel()
	l := open(t, "127.0.0.1:0")
	stop := serve(t, l, time.Minute)
	if _, err := listen.Open(t.Context(), l.Address(), slog.New(slog.DiscardHandler)); err == nil || !strings.Contains(err.Error(), l.Address()) {
		t.Errorf("error %v, want one that names %s", err, l.Address())
	}
	if err := stop(); err != nil {
		t.Errorf("Serve: %v", err)
	}
}

// TestAStopLetsARequestEnd that is under way, but not for ever.
func TestAStopLetsARequestEnd(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		name     string
		patience time.Duration
		answered bool
	}{{"in time", time.Minute, true}, {"too slow", time.Nanosecond, false}} {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			l := open(t, "127.0.0.1:0")
			under, release := make(chan bool), make(chan bool)
			l.Mux.HandleFunc("/", func(w http.ResponseWriter, r *http.Request) {
				under <- true
				select {
				case <-release:
				case <-r.Context().Done():
				}
				say("done")(w, r)
			})
			stop := serve(t, l, tt.patience)
			client := &http.Client{Transport: &http.Transport{DisableKeepAlives: true}}
			got := make(chan error, 1)
			go func() {
				r, err := http.NewRequestWithContext(t.Context(), http.MethodGet, "http://"+l.Address(), nil)
				if err != nil {
					got <- err
					return
				}
				answer, err := client.Do(r)
				if err == nil {
					_, err = io.Copy(io.Discard, answer.Body)
					err = errors.Join(err, answer.Body.Close())
				}
				got <- err
			}()
			<-under
			if tt.answered {
				close(release)
			}
			if err := stop(); err != nil {
				t.Errorf("Serve: %v", err)
			}
			if err := <-got; (err == nil) != tt.answered {
				t.Errorf("the request ended with %v, want it answered: %t", err, tt.answered)
			}
		})
	}
}
