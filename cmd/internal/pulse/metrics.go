package pulse

import (
	"context"
	"net/http"
	"slices"
	"time"

	"github.com/prometheus/client_golang/prometheus"
	"github.com/prometheus/client_golang/prometheus/collectors"
	"github.com/prometheus/client_golang/prometheus/promhttp"
)

// counters are what grows while the program runs.
type counters struct {
	look               prometheus.Histogram
	received, rejected *prometheus.CounterVec
	run, late, failed  *prometheus.CounterVec
}

func newCounters(r prometheus.Registerer) counters {
	counter := func(name, help, label string) *prometheus.CounterVec {
		c := prometheus.NewCounterVec(prometheus.CounterOpts{Name: name, Help: help}, []string{label})
		r.MustRegister(c)
		return c
	}
	c := counters{
		look: prometheus.NewHistogram(prometheus.HistogramOpts{Name: "ovenward_look_seconds",
			Help:    "How long a look at everything that may have fallen due took.",
			Buckets: []float64{.005, .01, .02, .05, .1, .2, .5, 1, 2, 5, 10}}),
		received: counter("ovenward_readings_received_total", "Readings that came in, by source.", "source"),
		rejected: counter("ovenward_readings_rejected_total", "Readings that were turned away, by source.", "source"),
		run:      counter("ovenward_jobs_run_total", "Slots of jobs that were run, by job.", "job"),
		late:     counter("ovenward_jobs_late_total", "Slots of jobs that were run after a stop, by job.", "job"),
		failed:   counter("ovenward_jobs_failed_total", "Slots of jobs that failed, by job.", "job"),
	}
	r.MustRegister(c.look, collectors.NewGoCollector(), collectors.NewProcessCollector(collectors.ProcessCollectorOpts{}))
	return c
}

// askWithin bounds what one scrape may ask of the database.
const askWithin = 5 * time.Second

// state is what is read from the database when it is asked for.
type state struct{ pulse *Pulse }

var (
	openBundles = prometheus.NewDesc("ovenward_open_bundles", "Bundles that are open and not used up.", nil, nil)
	alarmCount  = prometheus.NewDesc("ovenward_alarms", "Alarms that are not normal.", []string{"state", "priority"}, nil)
	untold      = prometheus.NewDesc("ovenward_outbox_events", "What a channel has yet to be told of or to pass over.", []string{"channel"}, nil)
	untoldAge   = prometheus.NewDesc("ovenward_outbox_age_seconds", "How old the oldest of that is.", []string{"channel"}, nil)
	attempts    = prometheus.NewDesc("ovenward_outbox_failed_attempts", "Attempts to tell a channel that failed in a row.", []string{"channel"}, nil)
	leader      = prometheus.NewDesc("ovenward_leader", "1 while this watch leads, 0 while it stands by.", nil, nil)
	looked      = prometheus.NewDesc("ovenward_looked_timestamp_seconds", "Up to when the site's watch has looked, by whichever program.", nil, nil)
	reachable   = prometheus.NewDesc("ovenward_database_up", "1 while the database answers.", nil, nil)
)

// Describe implements prometheus.Collector.
func (*state) Describe(to chan<- *prometheus.Desc) {
	for _, d := range []*prometheus.Desc{openBundles, alarmCount, untold, untoldAge, attempts, leader, looked, reachable} {
		to <- d
	}
}

// Collect implements prometheus.Collector. Where the database does not answer,
// what it would say is left out.
func (s *state) Collect(to chan<- prometheus.Metric) {
	gauge := func(d *prometheus.Desc, v float64, labels ...string) {
		to <- prometheus.MustNewConstMetric(d, prometheus.GaugeValue, v, labels...)
	}
	gauge(leader, flag(s.pulse.leading()))
	ctx, cancel := context.WithTimeout(context.Background(), askWithin)
	defer cancel()
	v, err := s.pulse.vitals(ctx)
	gauge(reachable, flag(err == nil))
	if err != nil {
		return
	}
	gauge(openBundles, float64(v.Open))
	gauge(looked, v.Watched.At.Time().Sub(time.Unix(0, 0)).Seconds())
	for _, c := range v.Alarms {
		gauge(alarmCount, float64(c.N), string(c.State), string(c.Priority))
	}
	for _, c := range v.Channels {
		if !slices.Contains(s.pulse.channels, c.Channel) {
			continue // it was taken out of the file
		}
		gauge(untold, float64(c.Events), c.Channel)
		gauge(attempts, float64(c.Failed), c.Channel)
		if c.Oldest != 0 {
			gauge(untoldAge, max(0, v.At.Time().Sub(c.Oldest.Time()).Seconds()), c.Channel)
		}
	}
}

func flag(b bool) float64 {
	if b {
		return 1
	}
	return 0
}

func (p *Pulse) leading() bool {
	p.mu.Lock()
	defer p.mu.Unlock()
	return p.leads
}

// Mount serves the pulse: /healthz for a supervisor, /metrics for Prometheus.
func (p *Pulse) Mount(mux *http.ServeMux) {
	mux.HandleFunc("GET /healthz", p.serveHealth)
	mux.Handle("GET /metrics", promhttp.HandlerFor(p.registry, promhttp.HandlerOpts{MaxRequestsInFlight: 4}))
}
