// Package push takes readings that loggers send over HTTP.
package push

import (
	"crypto/sha256"
	"crypto/subtle"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"mime"
	"net/http"
	"strings"

	"ovenward/cmd/internal/app"
	"ovenward/inventory/measure"
	"ovenward/storage/feed"
	"ovenward/storage/ovendb"
)

// Settings say who may send readings and how they are written.
type Settings struct {
	Name    string // beside the readings
	Path    string // of the address, such as /readings
	Token   string // that a logger shows; never in a message or log
	Most    int64  // bytes of one request
	Place   string // whose readings all are; empty: each says
	Mapping feed.Mapping
}

// Handler takes the readings of a site.
type Handler struct {
	Settings
	app  *app.App
	log  *slog.Logger
	hash [sha256.Size]byte
}

// New returns a handler of a site.
func New(a *app.App, s Settings, log *slog.Logger) *Handler {
	return &Handler{Settings: s, app: a, log: log, hash: sha256.Sum256([]byte(s.Token))}
}

// fault is why a request as a whole is not taken.
type fault struct {
	Status int    `json:"-"`
	Field  string `json:"field"`
	Value  string `json:"value"`
	Limit  string `json:"limit"`
	Next   string `json:"next"`
}

// Error says field, value, limit and next step.
func (f *fault) Error() string {
	return fmt.Sprintf("%s %q: %s; %s", f.Field, f.Value, f.Limit, f.Next)
}

// answer is what became of what was sent.
type answer struct {
	Added   int64     `json:"added"`
	Known   int64     `json:"known"`
	Flagged []flagged `json:"flagged"`
	Ahead   int64     `json:"clock_ahead_s,omitempty"` // how far the logger's clock is ahead of ours
	// Arrival says that a value without a time was kept by when it came in.
	Arrival bool `json:"time_of_arrival,omitempty"`
}

// flagged is a value that proves nothing.
type flagged struct {
	Line    int64        `json:"line"`
	Sensor  string       `json:"sensor"`
	Quality feed.Quality `json:"quality"`
	Field   string       `json:"field"`
	Value   string       `json:"value"`
	Limit   string       `json:"limit,omitempty"`
	Why     string       `json:"why"`
	Next    string       `json:"next,omitempty"`
}

// ServeHTTP answers a logger. What it sent is durable once it is answered with 200.
func (h *Handler) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	status, body, err := h.take(w, r)
	if bad, ok := errors.AsType[*fault](err); ok {
		status, body = bad.Status, map[string]any{"error": bad}
	} else if err != nil {
		status, body = http.StatusServiceUnavailable, map[string]any{"error": map[string]string{"next": "send the same again in a minute"}}
		w.Header().Set("Retry-After", "60")
		h.log.Error("readings that were sent are not stored", "source", h.Name, "error", err)
	}
	w.Header().Set("Content-Type", "application/json")
	w.WriteHeader(status)
	if err := json.NewEncoder(w).Encode(body); err != nil {
		h.log.Warn("a logger was not answered", "source", h.Name, "error", err)
	}
}

func (h *Handler) take(w http.ResponseWriter, r *http.Request) (int, any, error) {
	if r.Method != http.MethodPost {
		w.Header().Set("Allow", http.MethodPost)
		return 0, nil, &fault{http.StatusMethodNotAllowed, "method", r.Method, "POST", "send readings with POST"}
	}
	if !h.allowed(r) {
		w.Header().Set("WWW-Authenticate", `Bearer realm="readings"`)
		return 0, nil, &fault{http.StatusUnauthorized, "Authorization", "", "Bearer and the token of the settings",
			"give the logger the token that token_file or token_env names"}
	}
	body, err := io.ReadAll(http.MaxBytesReader(w, r.Body, h.Most))
	if _, long := errors.AsType[*http.MaxBytesError](err); long {
		return 0, nil, &fault{http.StatusRequestEntityTooLarge, "body", fmt.Sprint(r.ContentLength), fmt.Sprintf("%d bytes", h.Most),
			"send fewer readings at once"}
	}
	if err != nil {
		return 0, nil, &fault{http.StatusBadRequest, "body", err.Error(), "a whole request", "send it again"}
	}
	in, arrival, err := h.read(r, body)
	if err != nil {
		return 0, nil, err
	}
	return h.store(r, body, in, arrival)
}

// allowed compares the token in a time that does not depend on how much of it is
// right.
func (h *Handler) allowed(r *http.Request) bool {
	token, found := strings.CutPrefix(r.Header.Get("Authorization"), "Bearer ")
	got := sha256.Sum256([]byte(token))
	return subtle.ConstantTimeCompare(got[:], h.hash[:]) == 1 && found && h.Token != ""
}

// read reads the values by how they are written.
func (h *Handler) read(r *http.Request, body []byte) (in app.Intake, arrival bool, err error) {
	in.Source = ovendb.Source{Kind: ovendb.Push, Name: h.Name, Unit: h.Mapping.Unit}
	zone, err := h.app.Zone(r.Context())
	if err != nil {
		return in, false, err
	}
	form, _, _ := mime.ParseMediaType(r.Header.Get("Content-Type"))
	switch form {
	case "text/csv":
		err = h.csv(body, zone, &in)
	case "application/json", "application/x-ndjson":
		clock, bad := feed.NewClock(h.Mapping.Layout, zone)
		if bad != nil {
			return in, false, bad
		}
		o := objects{unit: h.Mapping.Unit, place: h.Place, clock: clock, now: measure.At(h.app.Now()), in: &in}
		err = o.read(body)
		arrival = o.arrival
	default:
		err = &fault{http.StatusUnsupportedMediaType, "Content-Type", form, "application/json, application/x-ndjson or text/csv",
			"say how the body is written"}
	}
	if err == nil && len(in.Rows)+len(in.Bad) == 0 {
		err = &fault{http.StatusBadRequest, "body", "", "one reading at least", "send what was read"}
	}
	return in, arrival, err
}

// store stores the values, under the request's key where it has one.
func (h *Handler) store(r *http.Request, body []byte, in app.Intake, arrival bool) (int, any, error) {
	key := r.Header.Get("Idempotency-Key")
	if len(key) > mostKey {
		return 0, nil, &fault{http.StatusBadRequest, "Idempotency-Key", key[:20] + "...", fmt.Sprintf("%d characters", mostKey), "use a shorter one"}
	}
	text, again, err := h.app.TakeOnce(r.Context(), in, app.Key{Key: h.keyed(key), Digest: feed.Digest(body)},
		func(t app.Taken) (string, error) { return h.words(t, arrival) })
	if errors.Is(err, app.ErrOtherBody) {
		return 0, nil, &fault{http.StatusConflict, "Idempotency-Key", key, "one key for one body",
			"send something else under a key of its own"}
	}
	if err != nil {
		return 0, nil, err
	}
	var a answer
	if err := json.Unmarshal([]byte(text), &a); err != nil {
		return 0, nil, err
	}
	if !again {
		h.tell(a)
	}
	if a.Added+a.Known == 0 {
		return http.StatusUnprocessableEntity, a, nil
	}
	return http.StatusOK, a, nil
}

// mostKey is how long a key may be.
const mostKey = 200

func (h *Handler) keyed(key string) string {
	if key == "" {
		return ""
	}
	return h.Name + "/" + key
}

// words writes what became of the values.
func (h *Handler) words(t app.Taken, arrival bool) (string, error) {
	a := answer{Added: t.Added, Known: t.Known, Flagged: []flagged{}, Ahead: int64(t.Ahead / measure.Second), Arrival: arrival}
	for _, f := range t.Flagged {
		a.Flagged = append(a.Flagged, flagged{f.Line, f.Sensor, f.Quality, f.Field, f.Value, f.Limit, f.Why, f.Next})
	}
	text, err := json.Marshal(a)
	return string(text), err
}

func (h *Handler) tell(a answer) {
	if len(a.Flagged) > 0 {
		f := a.Flagged[0]
		h.log.Warn("values that were sent prove nothing", "source", h.Name, "count", len(a.Flagged), "sensor", f.Sensor,
			"field", f.Field, "value", f.Value, "why", f.Why)
	}
}
