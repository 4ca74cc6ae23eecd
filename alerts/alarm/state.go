package alarm

import (
	"fmt"
	"slices"

	"ovenward/inventory/measure"
)

// Tag is what has a state: one kind of alarm of one subject, through all the
// times that it comes and goes.
type Tag struct {
	Kind    Kind
	Subject string
}

// Tag returns the tag whose coming and going the condition is.
func (c Condition) Tag() Tag { return Tag{c.Kind, c.Subject} }

// State is the state of a tag, by the names of ISA-18.2 and IEC 62682.
type State string

// The states.
const (
	Normal         State = "normal"
	Unacknowledged State = "unacknowledged"
	Acknowledged   State = "acknowledged"
	Returned       State = "returned to normal unacknowledged"
	OnShelf        State = "shelved"
	Suppressed     State = "suppressed by design"
	OutOfService   State = "out of service"
)

// States returns every state, the order in which counts are shown.
func States() []State {
	return []State{Normal, Unacknowledged, Acknowledged, Returned, OnShelf, Suppressed, OutOfService}
}

// Event is what happens to a tag.
type Event string

// The events. The condition's own are raised and cleared; the others are what a
// person or the program does to the alarm.
const (
	Raise    Event = "raised"
	Clear    Event = "cleared"
	Ack      Event = "acknowledged"
	Recall   Event = "called again" // it stands long after it was acknowledged
	Shelve   Event = "shelved"
	Unshelve Event = "unshelved"
	Suppress Event = "suppressed"
	Release  Event = "no longer suppressed"
	Remove   Event = "taken out of service"
	Restore  Event = "put back into service"

	// Afterwards is noted of what was over before it could be known; the state stays.
	Afterwards Event = "found afterwards"
)

// Events returns every event.
func Events() []Event {
	return []Event{Raise, Clear, Ack, Recall, Shelve, Unshelve, Suppress, Release, Remove, Restore}
}

// Machine is a tag's state and its memory: whether the condition stands, which
// goes on being noted while the alarm is shelved, suppressed or out of service.
type Machine struct {
	State  State
	Active bool
}

// row is one line of the machine's table: in any of the states from an event
// leads to another state; quiet is where it leads while the condition does not
// stand.
type row struct {
	event     Event
	from      []State
	to, quiet State
}

// aside are the states in which an alarm keeps its peace.
var aside = []State{OnShelf, Suppressed, OutOfService}

// table is the machine. What comes back from shelf, suppression or repair and
// still stands is to be acknowledged anew: whoever set it aside may be gone.
// Source: the diagram of ISA-18.2 section 5, from memory; the standard leaves
// open whether an acknowledgement outlives a shelf.
var table = []row{
	{Raise, []State{Normal, Unacknowledged, Acknowledged, Returned}, Unacknowledged, Unacknowledged},
	{Raise, []State{OnShelf}, OnShelf, OnShelf},
	{Raise, []State{Suppressed}, Suppressed, Suppressed},
	{Raise, []State{OutOfService}, OutOfService, OutOfService},
	{Clear, []State{Unacknowledged, Returned}, Returned, Returned},
	{Clear, []State{Acknowledged, Normal}, Normal, Normal},
	{Clear, []State{OnShelf}, OnShelf, OnShelf},
	{Clear, []State{Suppressed}, Suppressed, Suppressed},
	{Clear, []State{OutOfService}, OutOfService, OutOfService},
	{Ack, []State{Unacknowledged}, Acknowledged, Normal},
	{Ack, []State{Returned}, Normal, Normal},
	{Recall, []State{Acknowledged}, Unacknowledged, Normal},
	{Shelve, []State{Unacknowledged, Acknowledged, Returned}, OnShelf, OnShelf},
	{Unshelve, []State{OnShelf}, Unacknowledged, Normal},
	{Suppress, []State{Normal, Unacknowledged, Acknowledged, Returned, OnShelf}, Suppressed, Suppressed},
	{Release, []State{Suppressed}, Unacknowledged, Normal},
	{Remove, []State{Normal, Unacknowledged, Acknowledged, Returned, OnShelf, Suppressed}, OutOfService, OutOfService},
	{Restore, []State{OutOfService}, Unacknowledged, Normal},
}

// NotPossibleError is an event that cannot happen to an alarm in its state.
type NotPossibleError struct {
	Event Event
	State State
}

// Error implements error.
func (e *NotPossibleError) Error() string {
	return fmt.Sprintf("an alarm that is %s cannot be %s", e.State, e.Event)
}

// Next returns the machine after an event. The error is a *NotPossibleError and
// leaves it as it was.
func (m Machine) Next(e Event) (Machine, error) {
	i := slices.IndexFunc(table, func(r row) bool { return r.event == e && slices.Contains(r.from, m.State) })
	if i < 0 {
		return m, &NotPossibleError{e, m.State}
	}
	m.Active = e == Raise || (m.Active && e != Clear)
	m.State = table[i].quiet
	if m.Active {
		m.State = table[i].to
	}
	return m, nil
}

// Aside reports whether the alarm keeps its peace: it is shelved, suppressed or
// out of service.
func (s State) Aside() bool { return slices.Contains(aside, s) }

// Calls reports whether the alarm waits for somebody to acknowledge it.
func (s State) Calls() bool { return s == Unacknowledged || s == Returned }

// Shelf is how an alarm was put on the shelf.
type Shelf struct {
	Until    measure.Instant // when it comes back; zero: not shelved
	Once     bool            // it also comes back when the condition has ceased
	Priority Priority        // when it was shelved; a more urgent one breaks through
}

// Ended returns why a shelf is over at an instant, for a tag that stands or not
// with a priority; empty while it is not.
func (s Shelf) Ended(at measure.Instant, active bool, p Priority) string {
	switch {
	case s.Until != 0 && at >= s.Until:
		return "its time on the shelf is over"
	case s.Once && !active:
		return "it was shelved until it ceased, and it has"
	case active && s.Priority != "" && p.Compare(s.Priority) < 0:
		return fmt.Sprintf("it is of %s priority now and was shelved at %s", p, s.Priority)
	}
	return ""
}
