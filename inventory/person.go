package inventory

import (
	"fmt"
	"slices"
	"strings"

	"ovenward/inventory/measure"
)

// Role is what a person of the shop may do.
type Role string

// The roles. A person may hold several.
const (
	Attendant  Role = "attendant"
	Foreman    Role = "foreman"
	QA         Role = "qa"
	Purchasing Role = "purchasing"
	Welder     Role = "welder"
)

var roles = []Role{Attendant, Foreman, QA, Purchasing, Welder}

// ParseRole reads the name of a role. The error is a *Refusal.
func ParseRole(s string) (Role, error) {
	r := Role(strings.ToLower(strings.TrimSpace(s)))
	if slices.Contains(roles, r) {
		return r, nil
	}
	return "", &Refusal{Code: Unknown, Subject: "role", Value: s, Why: fmt.Sprintf("no such role %q", s),
		Next: "use attendant, foreman, qa, purchasing or welder"}
}

// Office reports whether a role decides what its holder may record. A welder
// only takes rods.
func (r Role) Office() bool { return r != Welder }

// Title is the role in words for a sentence: "an attendant".
func (r Role) Title() string {
	switch r {
	case Attendant:
		return "an attendant"
	case QA:
		return "QA"
	case Purchasing:
		return "purchasing"
	case Foreman, Welder:
	}
	return "a " + string(r)
}

// Titles are roles in words, with "or" between the last two.
func Titles(list []Role) string {
	words := make([]string, len(list))
	for i, r := range list {
		words[i] = r.Title()
	}
	if n := len(words); n > 1 {
		return strings.Join(words[:n-1], ", ") + " or " + words[n-1]
	}
	return strings.Join(words, "")
}

// Person is what one fact says of a person. Of several about one badge the one
// with the latest Since by a day holds on that day.
type Person struct {
	Badge string
	Name  string
	Roles []Role
	Since measure.Date
	Until measure.Date // the last day; empty: no end
	Seq   int64        // of the fact
}

// Label is the badge with the name, as people know each other.
func (p Person) Label() string {
	if p.Name == "" || p.Name == p.Badge {
		return p.Badge
	}
	return p.Name + " (" + p.Badge + ")"
}

// on reports whether what a fact says holds on a day, unless a later one does.
func (p Person) on(day measure.Date) bool { return p.Since <= day }

// ended reports whether the person had left before a day.
func (p Person) ended(day measure.Date) bool { return p.Until != "" && p.Until < day }

// Crew is the people that a site has set up, each as known on one day.
type Crew struct {
	Day    measure.Date
	People []Person // in the order of their badges
}

// CrewOn returns the people as they stood on a day, from all that the facts say
// of them. Those who had left by then are not in it.
func CrewOn(all []Person, day measure.Date) Crew {
	holds := map[string]Person{}
	for _, p := range all {
		have, ok := holds[p.Badge]
		if p.on(day) && (!ok || have.Since < p.Since || (have.Since == p.Since && have.Seq < p.Seq)) {
			holds[p.Badge] = p
		}
	}
	c := Crew{Day: day}
	for _, p := range holds {
		if !p.ended(day) {
			c.People = append(c.People, p)
		}
	}
	slices.SortFunc(c.People, func(a, b Person) int { return strings.Compare(a.Badge, b.Badge) })
	return c
}

// SetUp reports whether anybody holds an office. As long as nobody does, a shop
// is too small for roles and nothing is checked.
func (c Crew) SetUp() bool {
	return slices.ContainsFunc(c.People, func(p Person) bool { return slices.ContainsFunc(p.Roles, Role.Office) })
}

// Find returns a person by badge; false for one who is not set up.
func (c Crew) Find(badge string) (Person, bool) {
	for _, p := range c.People {
		if p.Badge == badge {
			return p, true
		}
	}
	return Person{}, false
}

// Holds reports whether a person holds one of several roles.
func (c Crew) Holds(badge string, held []Role) bool {
	p, _ := c.Find(badge)
	return slices.ContainsFunc(p.Roles, func(r Role) bool { return slices.Contains(held, r) })
}

// Who names the people who hold one of several roles.
func (c Crew) Who(held []Role) []string {
	var out []string
	for _, p := range c.People {
		if c.Holds(p.Badge, held) {
			out = append(out, p.Label())
		}
	}
	return out
}

// Standing says in words what a person is on the crew's day.
func (c Crew) Standing(badge string) string {
	p, _ := c.Find(badge)
	if len(p.Roles) == 0 {
		return fmt.Sprintf("%s is not set up here on %s", badge, c.Day)
	}
	return fmt.Sprintf("%s is %s", p.Label(), c.titles(badge))
}

// titles are the roles of a person in words, empty for one who has none.
func (c Crew) titles(badge string) string {
	p, _ := c.Find(badge)
	words := make([]string, len(p.Roles))
	for i, r := range p.Roles {
		words[i] = r.Title()
	}
	return strings.Join(words, " and ")
}
