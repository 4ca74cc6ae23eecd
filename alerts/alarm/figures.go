package alarm

import "ovenward/inventory/measure"

// Transition is one step of a tag, as the record of alarms keeps it.
type Transition struct {
	Kind     Kind
	Subject  string
	At       measure.Instant
	Event    Event
	To       State
	Priority Priority // of the alarm that it is about; empty where none is known
}

// Tag returns what the transition is one of.
func (t Transition) Tag() Tag { return Tag{t.Kind, t.Subject} }

// Span is the time that figures are of, and how many people shared its alarms.
type Span struct {
	From, To  measure.Instant   // the latter left out
	Midnights []measure.Instant // in between, on the site's clock and in order
	Operators int               // who had the alarms of the site to see to; at least 1
}

// Length returns how long the span is.
func (s Span) Length() measure.Duration { return s.To.Sub(s.From) }

func (s Span) has(at measure.Instant) bool { return s.From <= at && at < s.To }

// Figures tell whether the alarms of a site are too many, by the measures of
// ISA-18.2 and EEMUA 191. What is told once and does not stand is no alarm and is
// not counted; what began while it was set aside called nobody and is counted
// apart.
type Figures struct {
	Raised  int // that called somebody
	Quiet   int // that began while shelved, suppressed by design or out of service
	PerDay  float64
	PerHour float64
	PerTen  float64 // per 10 minutes; quiet windows are counted, as they are in the others

	Peak     int // most in any 10 minutes, of all operators
	PeakFrom measure.Instant
	Flood    Floods

	Chattering []Source // that chattered, with how often they began or ceased in the span
	Stale      int      // tags that stood for more than a day at any time in the span
	StaleMost  int      // on any one day
	StaleDay   measure.Instant

	Top       []Source // the ten that called most
	TopShare  float64  // of all that was raised
	Split     map[Priority]int
	Shelved   int
	Hushed    int // suppressed by design
	Withdrawn int // taken out of service
}

// Source is where alarms come from: a kind of alarm of a place or of a check, or,
// since a slip or a lot is there only once, a kind of alarm of all of them.
type Source struct {
	Tag
	N     int
	Share float64 // of all that was raised
}

// Figures returns the figures of a span by the record from its beginning, in the
// order in which it came about.
func (c Catalogue) Figures(record []Transition, s Span) Figures {
	f := Figures{Split: map[Priority]int{}}
	var calls []measure.Instant
	var alarms []Transition
	sources := map[Tag]int{}
	for _, t := range record {
		if t.At >= s.To || c.Of(t.Kind).Event {
			continue
		}
		alarms = append(alarms, t)
		if !s.has(t.At) {
			continue
		}
		f.count(t)
		if t.Event == Raise && !t.To.Aside() {
			calls = append(calls, t.At)
			sources[t.source()]++
			f.Split[t.Priority]++
		}
	}
	f.rates(calls, s)
	f.Top, f.TopShare = top(sources, f.Raised)
	f.Chattering = chattering(alarms, s)
	f.stale(alarms, s)
	return f
}

// count counts what was set aside.
func (f *Figures) count(t Transition) {
	switch t.Event {
	case Raise:
		if t.To.Aside() {
			f.Quiet++
		}
	case Shelve:
		f.Shelved++
	case Suppress:
		f.Hushed++
	case Remove:
		f.Withdrawn++
	case Clear, Ack, Recall, Unshelve, Release, Restore, Afterwards: // nothing is set aside by them
	}
}

// Share returns the share of a priority of what was raised; zero of nothing.
func (f Figures) Share(p Priority) float64 { return share(f.Split[p], f.Raised) }

func share(n, of int) float64 {
	if of == 0 {
		return 0
	}
	return float64(n) / float64(of)
}
