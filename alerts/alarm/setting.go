package alarm

import (
	_ "embed"
	"fmt"
	"slices"
	"strings"

	"github.com/BurntSushi/toml"

	"ovenward/inventory/measure"
)

//go:embed catalogue.toml
var catalogueFile string

// shipped is what comes with the program. It is read once and never written.
var shipped = readCatalogue(catalogueFile)

// Shipped returns the catalogue that comes with the program.
func Shipped() Catalogue { return Catalogue{slices.Clone(shipped.entries)} }

// Changed is the status of an entry of which a shop changed something.
const Changed = "config"

// Setting is one entry of the catalogue as it is written: what is left out stays
// as it was.
type Setting struct {
	Kind        string   `toml:"kind" json:"kind"`
	Priority    string   `toml:"priority" json:"priority,omitempty"`
	Consequence string   `toml:"consequence" json:"consequence,omitempty"`
	Action      string   `toml:"action" json:"action,omitempty"`
	Who         string   `toml:"who" json:"who,omitempty"`
	On          string   `toml:"on_delay" json:"on_delay,omitempty"`
	Deadband    string   `toml:"deadband" json:"deadband,omitempty"`
	Off         string   `toml:"off_delay" json:"off_delay,omitempty"`
	Deadline    *bool    `toml:"deadline" json:"deadline,omitempty"`
	Suppressed  string   `toml:"suppressed" json:"suppressed,omitempty"`
	Shelve      string   `toml:"shelve" json:"shelve,omitempty"` // "never"
	Second      *bool    `toml:"second" json:"second,omitempty"`
	Realarm     string   `toml:"realarm" json:"realarm,omitempty"`  // "never"
	Escalate    []string `toml:"escalate" json:"escalate,omitzero"` // "15m supervisor"; empty: to nobody
	Kept        *bool    `toml:"kept" json:"kept,omitempty"`
	Event       *bool    `toml:"event" json:"event,omitempty"`
	Source      string   `toml:"source" json:"source,omitempty"`
}

// SettingError is something wrong with a setting of the catalogue.
type SettingError struct{ Kind, Field, Why string }

// Error implements error.
func (e *SettingError) Error() string { return fmt.Sprintf("alarm %s, %s: %s", e.Kind, e.Field, e.Why) }

// With returns the catalogue with a shop's settings. The error is a *SettingError:
// of a kind that there is not, a value that cannot be read, a delay of what is
// arithmetic, and a shelf of what is past a limit.
func (c Catalogue) With(list []Setting) (Catalogue, error) {
	out := Catalogue{slices.Clone(c.entries)}
	seen := map[string]bool{}
	for _, s := range list {
		i := out.index(Kind(s.Kind))
		if i < 0 {
			_, err := ParseKind(s.Kind)
			return c, &SettingError{s.Kind, "kind", err.Error()}
		}
		if seen[s.Kind] {
			return c, &SettingError{s.Kind, "kind", "it is set twice"}
		}
		seen[s.Kind] = true
		before := out.entries[i]
		e, err := s.over(before)
		if err == nil {
			err = e.bounded(before)
		}
		if err != nil {
			return c, err
		}
		e.Status = Changed
		out.entries[i] = e
	}
	return out, nil
}

// bounded holds a shop's entry against what may not be changed.
func (e Entry) bounded(before Entry) error {
	refuse := func(field, why string) error { return &SettingError{string(e.Kind), field, why} }
	switch {
	case before.On == 0 && e.On != 0:
		return refuse("on_delay", "this alarm follows from what is recorded and has no delay")
	case before.Off == 0 && e.Off != 0:
		return refuse("off_delay", "this alarm follows from what is recorded and has no delay")
	case before.Deadband == 0 && e.Deadband != 0:
		return refuse("deadband", "this alarm is not one of a measurement and has no deadband")
	case before.Shelf == 0 && e.Shelf != 0:
		return refuse("shelve", "this alarm is never shelved")
	case before.Deadline != e.Deadline:
		return refuse("deadline", "what is arithmetic on recorded facts is not the shop's to say")
	case before.Event != e.Event:
		return refuse("event", "whether it stands is not the shop's to say")
	}
	return nil
}

// over returns an entry with what the setting says.
func (s Setting) over(e Entry) (Entry, error) {
	r := settingReader{kind: s.Kind}
	e.Priority = r.priority(s.Priority, e.Priority)
	for _, t := range []struct {
		to   *string
		text string
	}{{&e.Consequence, s.Consequence}, {&e.Action, s.Action}, {&e.Who, s.Who}, {&e.Suppressed, s.Suppressed}, {&e.Source, s.Source}} {
		if t.text != "" {
			*t.to = t.text
		}
	}
	for _, b := range []struct{ to, from *bool }{{&e.Deadline, s.Deadline}, {&e.Second, s.Second}, {&e.Kept, s.Kept}, {&e.Event, s.Event}} {
		if b.from != nil {
			*b.to = *b.from
		}
	}
	e.On, e.Off = r.duration("on_delay", s.On, e.On), r.duration("off_delay", s.Off, e.Off)
	e.Shelf, e.Realarm = r.duration("shelve", s.Shelve, e.Shelf), r.duration("realarm", s.Realarm, e.Realarm)
	e.Deadband = r.difference("deadband", s.Deadband, e.Deadband)
	if s.Escalate != nil {
		e.Escalate = r.steps(s.Escalate)
	}
	return e, r.err
}

// settingReader reads values until one cannot be read.
type settingReader struct {
	kind string
	err  error
}

func (r *settingReader) fault(field, format string, args ...any) {
	if r.err == nil {
		r.err = &SettingError{r.kind, field, fmt.Sprintf(format, args...)}
	}
}

func (r *settingReader) priority(text string, now Priority) Priority {
	switch p := Priority(text); p {
	case "":
		return now
	case High, Medium, Low:
		return p
	}
	r.fault("priority", "%q: use high, medium or low", text)
	return now
}

func (r *settingReader) duration(field, text string, now measure.Duration) measure.Duration {
	switch text {
	case "":
		return now
	case "never", "none":
		return 0
	}
	d, err := measure.ParseDuration(text)
	if err != nil || d < 0 {
		r.fault(field, "%q: how long, such as 10m or 2:00", text)
	}
	return d
}

func (r *settingReader) difference(field, text string, now measure.Temperature) measure.Temperature {
	if text == "" {
		return now
	}
	t, err := measure.ParseTemperatureDifference(text)
	if err != nil || t < 0 {
		r.fault(field, "%q: how many degrees, such as 2 C or 4 F", text)
	}
	return t
}

func (r *settingReader) steps(list []string) []Step {
	steps := []Step{}
	for _, text := range list {
		after, to, ok := strings.Cut(strings.TrimSpace(text), " ")
		d, err := measure.ParseDuration(after)
		to = strings.TrimSpace(to)
		if !ok || err != nil || d <= 0 || to == "" || strings.Contains(to, " ") {
			r.fault("escalate", "%q: after how long and to whom, such as \"15m supervisor\"", text)
			return nil
		}
		steps = append(steps, Step{d, to})
	}
	return steps
}

// readCatalogue reads the file that comes with the program. A bad one is a
// programmer's mistake and panics at the start.
func readCatalogue(text string) Catalogue {
	var file struct {
		Alarm []Setting `toml:"alarm"`
	}
	meta, err := toml.Decode(text, &file)
	if err != nil || len(meta.Undecoded()) > 0 {
		panic(fmt.Sprintf("catalogue.toml: %v, %v", err, meta.Undecoded()))
	}
	var c Catalogue
	for _, k := range kinds {
		i := slices.IndexFunc(file.Alarm, func(s Setting) bool { return s.Kind == string(k) })
		if i < 0 {
			panic("catalogue.toml: nothing is said of " + string(k))
		}
		e, err := file.Alarm[i].over(Entry{Kind: k, Status: "shop"})
		if err != nil {
			panic("catalogue.toml: " + err.Error())
		}
		c.entries = append(c.entries, e)
	}
	return c
}
