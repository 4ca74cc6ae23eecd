// Package report assembles what auditors ask a rod room for. A report is made
// from facts and judgements that the program hands out: it counts, sorts and
// words, and judges nothing itself.
package report

import (
	"cmp"
	"context"
	"fmt"
	"strings"
	"time"

	"ovenward/cmd/internal/app"
	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/storage/rules"
)

// Report is one thing that can be asked for, with what it answers.
type Report struct {
	Name      string
	Title     string
	Of        string   // what it must be told: "JOINT", "LOT", "SLIP"; in brackets what it may be told; empty: nothing
	Over      Over     // what time it speaks of
	Days      int      // of a period that is not given; zero: a month
	Questions []string // that it answers alone

	make func(*maker) ([]Part, error)
}

// Over is the time that a report speaks of.
type Over int

// What time a report speaks of.
const (
	Ever      Over = iota // all that is known of its subject
	APeriod               // from one instant up to another
	AnInstant             // as things stood
)

// Query is what someone asks of a report.
type Query struct {
	Subject  string          // the joint, lot, slip or place
	From, To measure.Instant // of a period: From is in it, To is not
	At       measure.Instant // of an instant; of the others now, to which what is open is counted
	Asked    string          // who asks; empty: nobody said so

	app.Again // how it is judged anew
}

// Part is one table of a report.
type Part struct {
	Name    string // stable
	Title   string
	Columns []Column
	Rows    [][]Cell
	Empty   string   // what was looked for in vain, said where there are no rows
	Notes   []string // what a reader must know besides
}

// Column is one column of a part.
type Column struct {
	Name  string // stable, in small letters
	Head  string // for people; empty: the name with spaces
	Of    Kind
	Spare int // above zero: left out where a terminal is too narrow, the lowest first
}

// add appends a row.
func (p *Part) add(cells ...Cell) { p.Rows = append(p.Rows, cells) }

// note appends a sentence for the reader.
func (p *Part) note(format string, args ...any) {
	p.Notes = append(p.Notes, fmt.Sprintf(format, args...))
}

// Made is a report filled in.
type Made struct {
	Report
	Head  Head
	Parts []Part
}

// maker is a report under way.
type maker struct {
	Query
	ctx  context.Context
	app  *app.App
	zone *time.Location
	site app.Habits

	printed measure.Instant

	rules []InForce                // in the time that the report speaks of
	lots  map[string]inventory.Lot // that were asked for
	sets  map[string]*rules.Set    // as approved, those that were asked for
}

// Make fills a report in. A period that is not given is the last month, for the
// shift report the shift that runs; one that ends after now ends now. The error
// is a *inventory.Refusal for a subject that is missing or that there is not, and
// for a rule set that was not approved.
func (r Report) Make(ctx context.Context, a *app.App, q Query) (made Made, err error) {
	printed := measure.At(a.Now())
	if q.Again == (app.Again{}) {
		return r.fill(ctx, a, q, printed)
	}
	err = a.JudgeAgain(ctx, q.Again, func(then *app.App) error {
		made, err = r.fill(ctx, then, q, printed)
		return err
	})
	return made, err
}

func (r Report) fill(ctx context.Context, a *app.App, q Query, printed measure.Instant) (Made, error) {
	if r.Of != "" && r.Of[0] != '[' && q.Subject == "" {
		return Made{}, needs(r)
	}
	site, err := a.Habits(ctx)
	if err != nil {
		return Made{}, err
	}
	m := &maker{Query: q, ctx: ctx, app: a, zone: site.Zone, site: site, printed: printed, lots: map[string]inventory.Lot{}}
	m.times(r)
	if r.Over == Ever {
		return r.filled(m)
	}
	var made Made
	from, until := m.From, m.To
	if r.Over == AnInstant {
		from, until = m.At, m.At+1 // what happened at the instant counts
	}
	err = a.AsItStood(ctx, from, until, func(then *app.App) error {
		m.app = then
		if m.site, err = then.Habits(ctx); err != nil {
			return err
		}
		made, err = r.filled(m)
		return err
	})
	return made, err
}

// filled makes the parts.
func (r Report) filled(m *maker) (made Made, err error) {
	if m.rules, err = m.inForce(r.Over); err != nil {
		return Made{}, err
	}
	parts, err := r.make(m)
	if err != nil {
		return Made{}, err
	}
	return Made{Report: r, Head: m.head(r), Parts: parts}, nil
}

// times fills in what the query leaves out.
func (m *maker) times(r Report) {
	now := measure.At(m.app.Now())
	if m.At == 0 || r.Over == Ever {
		m.At = now
	}
	if r.Over != APeriod {
		return
	}
	if d, ok := inventory.DutyAt(m.site.Shifts, m.At, m.zone); ok && r.Name == shiftReport.Name && m.From == 0 && m.To == 0 {
		m.From, m.To = d.From, d.To
	}
	if m.To == 0 {
		m.To = m.At + 1 // what happened at this instant is in it
	}
	if m.From == 0 {
		m.From = measure.DateOf(m.To, m.zone).AddDays(-cmp.Or(r.Days, month)).At(0, m.zone)
	}
	m.To = min(m.To, now+1)
	m.At = min(m.To, now) // what is open is told as it stood at the end
}

// month is how many days a period has where none is given.
const month = 30

// when prints an instant for a sentence.
func (m *maker) when(at measure.Instant) string { return clock(at, m.zone) }

// period says in words what time was looked at.
func (m *maker) period() string {
	return fmt.Sprintf("between %s and %s", m.when(m.From), m.when(m.To))
}

// needs is the refusal of a report that was not told what it is of.
func needs(r Report) error {
	return &inventory.Refusal{Code: inventory.Unknown, Subject: "report " + r.Name, Why: "it is of one " + strings.ToLower(r.Of),
		Next: "name it: ovenward report " + r.Name + " " + r.Of}
}

// Find returns the report of a name. The error is a *inventory.Refusal that
// lists them.
func Find(name string) (Report, error) {
	var names []string
	for _, r := range All() {
		if r.Name == name {
			return r, nil
		}
		names = append(names, r.Name)
	}
	return Report{}, &inventory.Refusal{Code: inventory.Unknown, Subject: "report", Value: name, Why: "there is no report of that name",
		Next: "use one of: " + strings.Join(names, ", ")}
}
