package rules

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"ovenward/inventory"
	"ovenward/inventory/measure"
)

// Loosened is a row with a figure that is looser than that of the row which it
// says it follows. A person with the authority to do so has ruled it.
type Loosened struct {
	Row     string `json:"row"`
	Follows string `json:"follows"` // "set/row", or "row" of the same set
	What    string `json:"what"`    // the figures, one clause each
	Ruling  string `json:"ruling"`  // who ruled it
}

// Loosened returns the rows that are looser than those that they follow.
func (s *Set) Loosened() []Loosened {
	var out []Loosened
	for _, r := range s.rows() {
		m := r.about()
		led, err := s.followed(r)
		if err != nil || led == nil {
			continue
		}
		if what := looser(r, *led); len(what) > 0 {
			out = append(out, Loosened{m.Row, m.Follows, strings.Join(what, "; "), m.Ruling})
		}
	}
	return out
}

// followed returns the row that a row follows: of the same set, or of one that
// comes with the program; nil where it follows none.
func (s *Set) followed(r listed) (*listed, error) {
	name := r.about().Follows
	if name == "" {
		return nil, nil
	}
	from, id, row := s, s.ID, name
	if set, rest, ok := strings.Cut(name, "/"); ok {
		id, row = set, rest
	}
	if id != s.ID {
		var err error
		if from, err = Shipped(id); err != nil {
			return nil, fmt.Errorf("no rule set %q comes with the program; name a row of this file, or one of the sets %s",
				id, strings.Join(ShippedIDs(), ", "))
		}
	}
	all := from.rows()
	i := slices.IndexFunc(all, func(o listed) bool { return o.about().Row == row && o.kind == r.kind })
	switch {
	case i < 0:
		return nil, fmt.Errorf("rule set %s has no %s row %q", id, r.shown(), row)
	case from == s && all[i].about() == r.about():
		return nil, fmt.Errorf("a row does not follow itself")
	}
	return &all[i], nil
}

// following checks that every row that follows another is no looser, or says
// who ruled that it may be.
func (c *checker) following() {
	for _, r := range c.set.rows() {
		m := r.about()
		led, err := c.set.followed(r)
		switch {
		case err != nil:
			c.fault(m.Row, "follows is %q: %v", m.Follows, err)
		case led == nil && m.Ruling != "":
			c.fault(m.Row, "ruling is given and the row follows none: write follows = \"set/row\" with the row that it was ruled against")
		case led == nil || m.Ruling != "":
		default:
			for _, what := range looser(r, *led) {
				c.fault(m.Row, "%s, in row %s that it follows: keep to it, or write ruling = \"...\" with who ruled it, and where it is written",
					what, m.Follows)
			}
		}
	}
}

// looser says in which figures a row allows more than another of its kind. What
// a row leaves out it does not limit.
func looser(a, b listed) []string {
	x, y := a.figures(), b.figures()
	var out []string
	for _, f := range x {
		i := slices.IndexFunc(y, func(o figure) bool { return o.name == f.name })
		if i >= 0 && f.allows > y[i].allows {
			out = append(out, fmt.Sprintf("%s is %s, looser than %s", f.name, f.text, y[i].text))
		}
	}
	return out
}

// figure is one figure of a row, by how much it allows: of two the larger is
// the looser.
type figure struct {
	name   string
	allows int64
	text   string
}

// endless is what is allowed where no limit stands.
const endless = int64(^uint64(0) >> 1)

// upTo is a figure of which more is looser; zero limits nothing.
func upTo[T ~int | ~int64](name string, n T, text string) figure {
	if n == 0 {
		return figure{name, endless, "not given"}
	}
	return figure{name, int64(n), text}
}

// atLeast is a figure of which less is looser; zero asks for nothing.
func atLeast[T ~int | ~int64](name string, n T, text string) figure {
	return figure{name, -int64(n), cmp.Or(text, "not given")}
}

func longest(name string, d measure.Duration) figure { return upTo(name, d, d.Words()) }

func shortest(name string, d measure.Duration) figure { return atLeast(name, d, d.Words()) }

func hottest(name string, t Temp) figure {
	if !t.Given() {
		return figure{name, endless, "not given"}
	}
	return figure{name, int64(t.Temperature), t.Text}
}

func coldest(name string, t Temp) figure {
	if !t.Given() {
		return figure{name, endless, "not given"}
	}
	return figure{name, -int64(t.Temperature), t.Text}
}

// granted is a figure that allows something or does not.
func granted(name string, yes bool) figure {
	if yes {
		return figure{name, 1, "true"}
	}
	return figure{name, 0, "false"}
}

func (m *Meta) figures() []figure { return nil } // a kind of row that has none to compare

func (r *ExposureRow) figures() []figure {
	if r.Clock == NoClock {
		return []figure{{"limit", endless, "none, for no clock runs"}}
	}
	return []figure{longest("limit", r.Limit), r.stops(), granted("count_while_bagged = false", r.PausesInPack())}
}

// stops is whether the clock ever stops again: one that runs on is the tighter.
func (r *ExposureRow) stops() figure {
	if r.Clock == Elapsed {
		return figure{"clock", 0, "elapsed"}
	}
	return figure{"clock", 1, "the set's own"}
}

func (r *HoldRow) figures() []figure {
	return []figure{coldest("min", r.Min), hottest("max", r.Max), shortest("duration", r.Duration), granted("resets", r.Resets),
		granted("cabinet", r.Cabinet)}
}

func (r *BakeRow) figures() []figure {
	return []figure{coldest("min", r.Min), hottest("max", r.Max), shortest("soak", r.Soak), longest("soak_max", r.SoakMax),
		shortest("presoak", r.Presoak), upTo("presoak_percent", r.PresoakPercent, fmt.Sprintf("%d %%", r.PresoakPercent))}
}

func (r *QuiverRow) figures() []figure {
	return []figure{coldest("min", r.Min), atMost("total", int64(r.Total), r.Total.Words()),
		granted("as_hold", r.AsHold), granted("on_dip = \"open\"", r.OnDip == DipOpens)}
}

// atMost is a figure of which more is looser; zero grants nothing.
func atMost(name string, n int64, text string) figure { return figure{name, n, text} }

func (r *PacketRow) figures() []figure { return []figure{longest("limit", r.Limit)} }

func (r *HoldingRow) figures() []figure {
	return []figure{upTo("max_days", r.MaxDays, fmt.Sprintf("%d days", r.MaxDays))}
}

func (r *CoStorageRow) figures() []figure {
	var out []figure
	for _, k := range placeKinds() {
		out = append(out, granted(fmt.Sprintf("%q", k), !slices.Contains(r.Places, inventory.PlaceKind(k))))
	}
	return append(out, granted("warn", r.Warn), coldestFrom(r.From))
}

// coldestFrom is from where on rods are kept apart: always is the tightest.
func coldestFrom(t Temp) figure {
	if !t.Given() {
		return figure{"from", -endless, "always"}
	}
	return figure{"from", int64(t.Temperature), t.Text}
}

func (r *LoadingRow) figures() []figure {
	return []figure{upTo("max_layers", r.MaxLayers, fmt.Sprintf("%d layers", r.MaxLayers))}
}

func (r *ColumnBRow) figures() []figure {
	return []figure{longest("max", r.Max), shortest("over", r.Over)}
}
