package pulse

import (
	"context"
	"encoding/json"
	"net/http"
	"time"

	"ovenward/cmd/internal/app"
)

// LookWithin is how old the last look may be: it is made every minute, and one
// that is missed is not yet a fault.
const LookWithin = 3 * time.Minute

// Health is whether a watch is well.
type Health struct {
	Status string    `json:"status"` // "ok" or "unwell"
	Role   string    `json:"role"`   // "leader" or "stand-by"
	Checks []Finding `json:"checks"`
}

// Finding is one thing that was looked at.
type Finding struct {
	Name string `json:"name"`
	OK   bool   `json:"ok"`
	Says string `json:"says"`
}

// Well reports whether nothing is wrong.
func (h Health) Well() bool { return h.Status == "ok" }

// Health asks how the watch is.
func (p *Pulse) Health(ctx context.Context) Health {
	ctx, cancel := context.WithTimeout(ctx, askWithin)
	defer cancel()
	h := Health{Status: "ok", Role: "leader"}
	if !p.leading() {
		h.Role = "stand-by"
	}
	add := func(name, wrong, says string) {
		h.Checks = append(h.Checks, Finding{Name: name, OK: wrong == "", Says: wrong + says})
		if wrong != "" {
			h.Status = "unwell"
		}
	}
	v, err := p.vitals(ctx)
	if err != nil {
		add("database", "it does not answer: "+err.Error(), "")
		return h
	}
	add("database", "", "it answers")
	wrong, says := p.look(v)
	add("look", wrong, says)
	for _, c := range p.extra {
		wrong, says := c.Ask(ctx, v)
		add(c.Name, wrong, says)
	}
	return h
}

// look says how old the last look is: this program's own, by a clock that nobody
// can set, or while it stands by the site's, as it is on record.
func (p *Pulse) look(v app.Vitals) (wrong, says string) {
	p.mu.Lock()
	defer p.mu.Unlock()
	since, what := p.looked, "the last look was "
	if since.IsZero() {
		since, what = p.begun, "none yet; the program started "
	}
	age := p.now().Sub(since)
	if !p.leads {
		age, what = v.At.Time().Sub(v.Watched.At.Time()), "the leader's last look was "
	}
	text := what + age.Round(time.Second).String() + " ago"
	if age > LookWithin {
		return text + ", longer than " + LookWithin.String(), ""
	}
	return "", text
}

// serveHealth answers 200 for a watch that is well and 503 for one that is not,
// with the reasons.
func (p *Pulse) serveHealth(w http.ResponseWriter, r *http.Request) {
	h := p.Health(r.Context())
	w.Header().Set("Content-Type", "application/json")
	if !h.Well() {
		w.WriteHeader(http.StatusServiceUnavailable)
	}
	enc := json.NewEncoder(w)
	enc.SetEscapeHTML(false)
	_ = enc.Encode(h) // who asked has gone
}
