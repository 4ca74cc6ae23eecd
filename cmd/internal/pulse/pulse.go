// Package pulse keeps how the watch itself is, for those who look after it: what
// it did and when, counted for Prometheus, and whether it is well.
package pulse

import (
	"context"
	"sync"
	"time"

	"github.com/prometheus/client_golang/prometheus"

	"ovenward/cmd/internal/app"
)

// Pulse is how one watch is. Its methods may be called by several goroutines.
type Pulse struct {
	now      func() time.Time // only differences of what it returns are used
	vitals   func(ctx context.Context) (app.Vitals, error)
	channels []string
	registry *prometheus.Registry
	counters counters

	mu     sync.Mutex
	begun  time.Time
	looked time.Time // when the last look ended well; zero: none has
	leads  bool
	extra  []Check
}

// Check is one more thing that must be well. It returns what is wrong, empty for
// nothing, and what is worth saying all the same.
type Check struct {
	Name string
	Ask  func(ctx context.Context, v app.Vitals) (wrong, says string)
}

// New returns the pulse of a watch that begins now and tells these channels.
func New(now func() time.Time, channels []string, vitals func(ctx context.Context) (app.Vitals, error)) *Pulse {
	p := &Pulse{now: now, begun: now(), vitals: vitals, channels: channels, registry: prometheus.NewRegistry(), leads: true}
	p.counters = newCounters(p.registry)
	p.registry.MustRegister(&state{pulse: p})
	return p
}

// Also adds a check to those of Health. It is called before the pulse is served.
func (p *Pulse) Also(c Check) { p.extra = append(p.extra, c) }

// Leads notes whether this watch is the one that acts, or stands by.
func (p *Pulse) Leads(leads bool) {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.leads = leads
}

// Looked notes that a look at everything ended well, and how long it took.
func (p *Pulse) Looked(took time.Duration) {
	p.counters.look.Observe(took.Seconds())
	p.mu.Lock()
	defer p.mu.Unlock()
	p.looked = p.now()
}

// Readings notes that a source, such as "mqtt", delivered readings, and how many
// of them were turned away.
func (p *Pulse) Readings(source string, received, rejected int) {
	p.counters.received.WithLabelValues(source).Add(float64(received))
	p.counters.rejected.WithLabelValues(source).Add(float64(rejected))
}

// Ran notes that a job was run for a slot: late says that the slot was one that
// had been missed.
func (p *Pulse) Ran(job string, late bool, failed error) {
	p.counters.run.WithLabelValues(job).Inc()
	if late {
		p.counters.late.WithLabelValues(job).Inc()
	}
	if failed != nil {
		p.counters.failed.WithLabelValues(job).Inc()
	}
}
