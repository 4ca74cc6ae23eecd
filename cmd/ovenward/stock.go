package main

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/urfave/cli/v2"

	"ovenward/cmd/internal/app"
	"ovenward/cmd/internal/show"
	"ovenward/inventory"
	"ovenward/inventory/measure"
)

func newStockCommand(e *env) *cli.Command {
	var at, place, owner string
	return &cli.Command{
		Name:     "stock",
		Category: atTheWindow,
		Usage:    "what is here: ready, in hold until when, to bake, with QA, sealed",
		Flags: []cli.Flag{&cli.StringFlag{Name: "at", Usage: "judged at a `TIME`", Destination: &at},
			&cli.StringFlag{Name: "place", Usage: "only what is in a `PLACE`, by its racks", Destination: &place},
			&cli.StringFlag{Name: "owner", Usage: "only what belongs to a `CUSTOMER`; own for the shop's own", Destination: &owner}},
		Action: func(c *cli.Context) error {
			if c.NArg() > 0 {
				return usagef("stock takes no arguments, got %q", c.Args().First())
			}
			return runStock(c.Context, e, at, place, owner)
		},
	}
}

// stockAnswer is one bundle in the crib, for a program.
type stockAnswer struct {
	State   string            `json:"state"`
	Verdict inventory.Verdict `json:"verdict"`
	Bundle  string            `json:"bundle"`
	Class   string            `json:"class"`
	Size    string            `json:"size"`
	Lot     string            `json:"lot"`
	Owner   string            `json:"owner,omitempty"` // a customer; empty: the shop
	Pieces  int64             `json:"pieces"`
	Mass    string            `json:"mass,omitempty"`
	Place   string            `json:"place"`
	Rack    string            `json:"rack,omitempty"`
	Exposed string            `json:"exposed,omitempty"`
	Bakes   int64             `json:"bakes"`
	Ready   measure.Instant   `json:"ready_us,omitempty"`
	Due     measure.Instant   `json:"due_us,omitempty"`
	Why     string            `json:"why"`
	LastDay measure.Date      `json:"last_day,omitempty"`
	Expired bool              `json:"expired,omitempty"`
	By      string            `json:"extended_by,omitempty"` // the test that QA extended it by, where that decides
}

func runStock(ctx context.Context, e *env, atText, place, owner string) error {
	p, err := e.screen(ctx, atText)
	if err != nil {
		return err
	}
	list, err := p.app.Stock(ctx, p.at)
	if err != nil {
		return err
	}
	answers := make([]stockAnswer, len(list))
	for i, l := range list {
		answers[i] = stockLine(l, p.at, p.zone)
	}
	slices.SortStableFunc(answers, func(a, b stockAnswer) int { return rank(a) - rank(b) })
	title, none := "HERE", "Nothing is here: receive stock with ovenward receive."
	if owner != "" {
		answers, none = ofOwner(answers, owner), "Nothing of "+owner+" is here: receive it with ovenward receive --owner."
		title += ", of " + owner
	}
	if place != "" {
		if _, err := p.app.Place(ctx, place); err != nil {
			return err
		}
		answers, title, none = byRack(answers, place), strings.Replace(title, "HERE", "IN "+place, 1), "Nothing is in "+place+"."
	}
	t := show.Table{Title: fmt.Sprintf("%s at %s", title, when(p.at, p.zone)), Empty: none,
		Right: []int{3}, Head: []string{"state", "bundle", "class", "rods", "lot", "place", "exposed", "why"}}
	if slices.ContainsFunc(answers, func(s stockAnswer) bool { return s.Mass != "" }) {
		t.Head[3] = "amount"
	}
	for _, s := range gathered(answers) {
		t.Add(s.State, s.Bundle, s.Class+" "+s.Size, s.amount(), s.lot(), s.where(), s.Exposed, s.Why)
	}
	if p.Format == show.AsCSV {
		return p.Answer(answers, stockRows(answers))
	}
	sums := summary(answers)
	if len(sums.Rows) == 0 {
		return p.Answer(answers, t) // no rods, or nothing at all
	}
	sums.Title, t.Title = t.Title, ""
	return p.Answer(answers, sums, t)
}

// ofOwner leaves what belongs to a customer, or to the shop itself.
func ofOwner(list []stockAnswer, owner string) []stockAnswer {
	return slices.DeleteFunc(list, func(s stockAnswer) bool { return !strings.EqualFold(cmp.Or(s.Owner, "own"), owner) })
}

// lot is the lot, with the customer whose it is.
func (s stockAnswer) lot() string { return s.Lot + ofCustomer(s.Owner) }

// byRack leaves what is in a place, in the order of its racks; what lies on none
// comes last.
func byRack(list []stockAnswer, place string) []stockAnswer {
	list = slices.DeleteFunc(list, func(s stockAnswer) bool { return s.Place != place })
	slices.SortStableFunc(list, func(a, b stockAnswer) int {
		if (a.Rack == "") != (b.Rack == "") {
			return cmp.Compare(b.Rack, a.Rack)
		}
		return cmp.Compare(a.Rack, b.Rack)
	})
	return list
}

// where is the place with the rack, as its label says.
func (s stockAnswer) where() string { return inventory.Where(s.Place, s.Rack) }

// stockRows is every bundle on a line of its own.
func stockRows(list []stockAnswer) show.Table {
	t := show.Table{Head: []string{"state", "bundle", "class", "size", "amount", "lot", "place", "exposed", "bakes", "why", "last day", "owner"}}
	for _, s := range list {
		t.Add(s.State, s.Bundle, s.Class, s.Size, s.amount(), s.Lot, s.where(), s.Exposed, fmt.Sprint(s.Bakes), s.Why, string(s.LastDay), s.Owner)
	}
	return t
}

func stockLine(l app.Look, at measure.Instant, zone *time.Location) stockAnswer {
	j := l.Judgement
	s := stockAnswer{State: state(l, at, zone), Verdict: j.Verdict, Bundle: l.Bundle.Code, Class: l.Lot.Mark.Canonical, Size: l.Lot.Size,
		Lot: l.Lot.Code, Owner: l.Lot.Owner, Pieces: l.Bundle.Pieces, Place: l.Bundle.Place.Name, Rack: l.Bundle.Rack, Bakes: j.Bakes, Ready: j.Ready, Due: j.Due, Why: why(l),
		LastDay: l.Expiry.Last, Expired: l.Expired}
	if l.Expiry.Extended && l.Expiry.Row == nil {
		s.By = l.Lot.Extension
	}
	if l.Bundle.Mass != 0 {
		s.Mass = l.Bundle.Mass.String()
	}
	if j.Ruling.Clocked() && j.Verdict != inventory.Sealed && j.Verdict != inventory.Unruled {
		s.Exposed = hours(j.Most)
		if j.Least != j.Most {
			s.Exposed = hours(j.Least) + " to " + s.Exposed
		}
	}
	return s
}

// state is what an attendant reads first.
func state(l app.Look, at measure.Instant, zone *time.Location) string {
	j := l.Judgement
	switch {
	case withQA(l):
		return "with QA"
	case l.Expired && j.Verdict != inventory.Discard:
		return "EXPIRED"
	case j.Verdict == inventory.Hold:
		return "hold until " + from(j.Ready, zone, at)
	case j.Verdict == inventory.Out && j.Due != 0 && !l.Lot.Counted():
		return weighedAt(l.Bundle.Place) + ", good until " + until(j.Due, zone, at)
	case j.Verdict == inventory.Out && j.Due != 0:
		return "IN THE OPEN, oven by " + until(j.Due, zone, at)
	case j.Verdict == inventory.Out:
		return "IN THE OPEN"
	case j.Verdict == inventory.Bake && l.Lot.Noun() == "flux":
		return "dry again"
	case j.Verdict == inventory.Bake:
		return "bake"
	case j.Verdict == inventory.Discard:
		return "DISCARD"
	case j.Verdict == inventory.Unruled:
		return "no rule"
	}
	return string(j.Verdict)
}

// weighedAt says where wire or flux is whose time runs.
func weighedAt(p inventory.Place) string {
	switch p.Kind {
	case inventory.Feeder:
		return "on " + p.Name
	case inventory.Hopper:
		return "in " + p.Name
	default:
		return "in the open"
	}
}

// withQA reports whether QA has to act before the stock may go out.
func withQA(l app.Look) bool {
	return l.Lot.Status != inventory.Released || l.Bundle.Hold != "" || l.Judgement.Verdict == inventory.QAHold
}

func why(l app.Look) string {
	switch {
	case l.Lot.Status == inventory.Awaiting:
		return "lot awaits release"
	case l.Lot.Status == inventory.Held:
		return "lot held: " + l.Lot.Reason
	case l.Bundle.Hold != "":
		return "held: " + l.Bundle.Hold
	}
	if j := l.Judgement; j.Verdict == inventory.QAHold && j.Least != j.Most {
		return "not proven at temperature; the readings: ovenward exposure " + l.Bundle.Code
	}
	return dated(l)
}

// dated is why a bundle is what it is, with its last day where that is near, has
// passed, or was moved by QA.
func dated(l app.Look) string {
	text := l.Judgement.Why
	switch {
	case l.Expired:
		return "its last day was " + string(l.Expiry.Last) + "; " + text
	case l.Expiry.Extended && l.Expiry.Row == nil:
		return text + "; last day " + string(l.Expiry.Last) + ", extended by QA"
	case l.Warned:
		return text + "; last day " + string(l.Expiry.Last)
	}
	return text
}

// rank is the order of the screen: what may go out first, what needs hands
// next, what only waits last.
func rank(s stockAnswer) int {
	switch {
	case s.State == "with QA":
		return 6
	case s.State == "EXPIRED":
		return 8
	case s.Verdict == inventory.Ready:
		return 0
	case s.Verdict == inventory.Out:
		return 1
	case s.Verdict == inventory.Hold:
		return 2
	case s.Verdict == inventory.Bake:
		return 3
	case s.Verdict == inventory.Discard:
		return 4
	case s.Verdict == inventory.Sealed:
		return 5
	}
	return 7
}
