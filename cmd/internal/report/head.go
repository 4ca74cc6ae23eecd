package report

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"ovenward/inventory"
	"ovenward/inventory/measure"
)

// InForce is a rule set that was in force at the site or for a job.
type InForce struct {
	ID      string          `json:"id"`
	Edition string          `json:"edition"`
	Job     string          `json:"job,omitempty"`
	From    measure.Instant `json:"from_us"`
	To      measure.Instant `json:"to_us,omitempty"` // zero: it still is
	By      string          `json:"put_in_force_by"`
}

// Head says what a report is of, for a reader who has nothing else.
type Head struct {
	Report  string          `json:"report"`
	Title   string          `json:"title"`
	Of      string          `json:"of,omitempty"`
	Site    string          `json:"site"`
	Zone    string          `json:"zone"`
	From    measure.Instant `json:"from_us,omitempty"`
	To      measure.Instant `json:"to_us,omitempty"`
	At      measure.Instant `json:"at_us,omitempty"`
	Rules   []InForce       `json:"rules"`
	Judged  string          `json:"judged_by,omitempty"` // another rule set than was in force
	Printed measure.Instant `json:"printed_us"`
	Asked   string          `json:"asked_by"`
	Known   measure.Instant `json:"known_us"`

	zone *time.Location
}

func (m *maker) head(r Report) Head {
	h := Head{Report: r.Name, Title: r.Title, Of: m.Subject, Site: m.app.Site, Zone: m.zone.String(), Rules: m.rules, Judged: m.Rules,
		Printed: m.printed, Asked: m.Asked, Known: m.printed, zone: m.zone}
	if m.Known != 0 {
		h.Known = m.Known
	}
	switch r.Over {
	case APeriod:
		h.From, h.To = m.From, m.To
	case AnInstant:
		h.At = m.At
	case Ever:
	}
	return h
}

// lines are the head for a person.
func (h Head) lines() []string {
	title := strings.ToUpper(h.Title)
	if h.Of != "" {
		title += ": " + h.Of
	}
	out := []string{title, fmt.Sprintf("site %s, %s", h.Site, h.Zone)}
	switch {
	case h.To != 0:
		out = append(out, fmt.Sprintf("from %s to %s", clock(h.From, h.zone), clock(h.To, h.zone)))
	case h.At != 0:
		out = append(out, "as it stood at "+clock(h.At, h.zone))
	}
	out = append(out, "rules: "+h.inForce())
	if h.Judged != "" {
		out = append(out, "JUDGED BY "+h.Judged+", not by the rules that were in force")
	}
	known := ""
	if h.Known != h.Printed {
		known = ", AS KNOWN AT " + clock(h.Known, h.zone)
	}
	who := h.Asked
	if who == "" {
		who = "somebody who gave no name"
	}
	return append(out, fmt.Sprintf("printed %s for %s%s", clock(h.Printed, h.zone), who, known))
}

func (h Head) inForce() string {
	if len(h.Rules) == 0 {
		return "no rule set was in force"
	}
	parts := make([]string, len(h.Rules))
	for i, r := range h.Rules {
		parts[i] = r.ID + ", edition " + r.Edition
		if r.Job != "" {
			parts[i] += ", for job " + r.Job
		}
		if r.To != 0 {
			parts[i] += ", until " + clock(r.To, h.zone)
		}
		if h.From != 0 && r.From > h.From {
			parts[i] += ", from " + clock(r.From, h.zone)
		}
	}
	return strings.Join(parts, "; ")
}

// inForce lists the rule sets that were in force in the time asked about.
func (m *maker) inForce(over Over) ([]InForce, error) {
	from, to := measure.Instant(0), m.At
	switch over {
	case APeriod:
		from, to = m.From, m.To
	case AnInstant:
		from = m.At
	case Ever:
	}
	all, err := m.everInForce()
	return slices.DeleteFunc(all, func(r InForce) bool { return r.From > to || (r.To != 0 && r.To <= from) }), err
}

// everInForce lists every use of a rule set, in the order in which they began.
func (m *maker) everInForce() ([]InForce, error) {
	approved, _, err := m.app.RuleSets(m.ctx)
	if err != nil {
		return nil, err
	}
	editions := map[string]string{}
	for _, a := range approved {
		editions[a.ID] = a.Edition
	}
	facts, err := m.app.Happened(m.ctx, 0, 0, "use-rules")
	if err != nil {
		return nil, err
	}
	all := []InForce{}
	last := map[string]int{} // by job
	for _, f := range facts {
		e := f.Entry.(*inventory.RulesUsed)
		if i, ok := last[e.Job]; ok {
			all[i].To = f.Fact.At
		}
		last[e.Job] = len(all)
		all = append(all, InForce{ID: e.Rules, Edition: editions[e.Rules], Job: e.Job, From: f.Fact.At, By: f.By()})
	}
	return all, nil
}
