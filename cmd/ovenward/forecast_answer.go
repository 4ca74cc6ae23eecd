package main

import (
	"fmt"
	"slices"
	"strings"

	"ovenward/cmd/internal/app"
	"ovenward/forecast/demand"
	"ovenward/forecast/joint"
	"ovenward/forecast/metal"
	"ovenward/inventory/measure"
)

// forecastAnswer is a forecast for a program.
type forecastAnswer struct {
	At          measure.Instant     `json:"at_us"`
	From        string              `json:"from"`
	To          string              `json:"to"`
	Plan        forecastPlan        `json:"plan"`
	Short       []shortAnswer       `json:"short"`
	Weeks       []weekAnswer        `json:"weeks"`
	NotCounted  []notCountedAnswer  `json:"stock_not_counted"`
	ToBake      []toBakeAnswer      `json:"to_bake_first"`
	NotComputed []notComputedAnswer `json:"not_computed"`
	Problems    []problemAnswer     `json:"problems"`
	Basis       []basisAnswer       `json:"basis"`
	Work        []workAnswer        `json:"work"`
	Allowances  allowanceAnswer     `json:"allowances"`
	Likely      *likelyAnswer       `json:"likely"`
	Notes       []string            `json:"notes"`

	look app.Outlook
}

type forecastPlan struct {
	Revision    int64           `json:"revision"`
	File        string          `json:"file"`
	Loaded      measure.Instant `json:"loaded_us"`
	By          string          `json:"by"`
	RowsRead    int             `json:"rows_read"`
	RowsNotRead int             `json:"rows_not_read"`
	Carried     int             `json:"rows_carried_from_earlier_weeks"`
	Oldest      string          `json:"carried_since,omitempty"`
	Later       int             `json:"rows_of_later_weeks"`
}

type allowanceAnswer struct {
	Repair   float64 `json:"repair"`
	Handling float64 `json:"handling"`
}

// shortAnswer is an item that the stock does not cover.
type shortAnswer struct {
	Class     string  `json:"class"`
	Unit      string  `json:"unit,omitempty"` // g where pieces are grams of wire or flux; else rods
	Diameter  float64 `json:"diameter_mm"`
	Week      string  `json:"week"`
	HereBy    string  `json:"here_by"` // the Monday of the week
	Pieces    int64   `json:"pieces_in_week"`
	Total     int64   `json:"pieces"`
	Purchased float64 `json:"purchased_g,omitempty"`
	Last      string  `json:"last_week"`
	item      joint.Item
}

// weekAnswer is one item in one week.
type weekAnswer struct {
	Week      string  `json:"week"`
	Class     string  `json:"class"`
	Unit      string  `json:"unit,omitempty"` // g where pieces, usable and so on are grams; else rods
	Diameter  float64 `json:"diameter_mm"`
	Pieces    int64   `json:"pieces"`
	Deposited float64 `json:"deposited_g"`
	Purchased float64 `json:"purchased_g,omitempty"`
	Usable    int64   `json:"usable"`
	Expired   int64   `json:"expired"`
	LastWeek  int64   `json:"in_last_week"` // of usable: what runs out of date in the week
	Short     int64   `json:"short"`
	Left      int64   `json:"left"`
	item      joint.Item
}

type notCountedAnswer struct {
	Class    string   `json:"class"`
	Unit     string   `json:"unit,omitempty"` // g where pieces are grams; else rods
	Diameter float64  `json:"diameter_mm"`
	Pieces   int64    `json:"pieces"`
	Lots     []string `json:"lots"`
	Why      string   `json:"why"`
	item     joint.Item
}

type toBakeAnswer struct {
	Class    string  `json:"class"`
	Unit     string  `json:"unit,omitempty"` // g where pieces are grams; else rods
	Diameter float64 `json:"diameter_mm"`
	Pieces   int64   `json:"pieces"`
	item     joint.Item
}

// basisAnswer is what the figures of one item rest on.
type basisAnswer struct {
	Class     string      `json:"class"`
	Diameter  float64     `json:"diameter_mm"`
	Deposits  float64     `json:"deposits_g"` // of one rod
	Piece     float64     `json:"piece_g,omitempty"`
	ByReceipt string      `json:"piece_by,omitempty"` // lot whose receipt gave the mass of a piece
	Rows      []rowAnswer `json:"rows"`
	rod       metal.Rod
	received  measure.Instant
}

type rowAnswer struct {
	Table  string       `json:"table"`
	Key    string       `json:"key"`
	Value  string       `json:"value"`
	Source string       `json:"source"`
	Status joint.Status `json:"status"`
}

func newForecastAnswer(o app.Outlook) *forecastAnswer {
	r, p := o.Planned.Revision, o.Planned.Plan
	a := &forecastAnswer{At: o.At, From: o.From.String(), To: o.To.String(), look: o,
		Plan: forecastPlan{Revision: r.Number, File: r.Name, Loaded: r.Loaded, By: r.By, RowsRead: len(p.Joints),
			RowsNotRead: app.UnreadRows(p), Carried: o.Carried, Oldest: carriedSince(o), Later: o.Later},
		Short: []shortAnswer{}, Weeks: []weekAnswer{}, NotCounted: []notCountedAnswer{}, ToBake: []toBakeAnswer{},
		NotComputed: []notComputedAnswer{}, Problems: problemAnswers(p.Problems), Basis: []basisAnswer{}}
	a.Allowances = allowanceAnswer{Repair: o.Allowances.Repair, Handling: o.Allowances.Handling}
	rods := map[joint.Item]metal.Rod{}
	for _, t := range o.Demand.Items {
		rods[t.Rod.Item] = t.Rod
		a.addBasis(t)
	}
	for _, s := range o.Shortages {
		a.Short = append(a.Short, shortAnswer{Class: s.Item.Class, Unit: gramsOf(s.Item), Diameter: millimetres(s.Item), Week: s.First.String(),
			HereBy: string(s.First.Monday()), Pieces: s.Short, Total: s.Total,
			Purchased: rounded(float64(s.Total) * rods[s.Item].PieceMass().Grams()), Last: s.Last.String(), item: s.Item})
	}
	for _, l := range o.Lines {
		b := l.Balance
		a.Weeks = append(a.Weeks, weekAnswer{Week: l.Week.String(), Class: l.Item.Class, Unit: gramsOf(l.Item), Diameter: millimetres(l.Item),
			Pieces: l.Pieces, Deposited: rounded(l.Deposited.Grams()), Purchased: rounded(l.Purchased.Grams()),
			Usable: b.Usable, Expired: b.Expired, LastWeek: b.Late, Short: b.Short, Left: b.Left, item: l.Item})
	}
	a.Work = workAnswers(o.Work)
	a.addStock()
	for _, n := range o.Demand.NotComputed {
		a.NotComputed = append(a.NotComputed, newNotComputed(n.Joint, n.Err))
	}
	a.Likely = newLikelyAnswer(o)
	a.Notes = a.notes()
	return a
}

// gramsOf is the unit of an item's pieces for a program where they are no rods.
func gramsOf(i joint.Item) string {
	if metal.ByMass(i.Class) {
		return "g"
	}
	return ""
}

func millimetres(i joint.Item) float64 { return i.Diameter.Millimetres() }

func (a *forecastAnswer) addStock() {
	for _, n := range a.look.NotCounted {
		a.NotCounted = append(a.NotCounted, notCountedAnswer{Class: n.Item.Class, Unit: gramsOf(n.Item), Diameter: millimetres(n.Item),
			Pieces: n.Pieces, Lots: n.Lots, Why: n.Why, item: n.Item})
	}
	for _, t := range a.look.Demand.Items {
		if n := a.look.ToBake[t.Rod.Item]; n > 0 {
			i := t.Rod.Item
			a.ToBake = append(a.ToBake, toBakeAnswer{Class: i.Class, Unit: gramsOf(i), Diameter: millimetres(i), Pieces: n, item: i})
		}
	}
}

func (a *forecastAnswer) addBasis(t demand.Total) {
	r := t.Rod
	b := basisAnswer{Class: r.Item.Class, Diameter: millimetres(r.Item), Deposits: rounded(r.Deposit()),
		Piece: rounded(r.PieceMass().Grams()), rod: r}
	for _, w := range a.look.Receipts {
		if w.Item == r.Item {
			b.ByReceipt, b.received = w.Lot, w.At
		}
	}
	for _, row := range r.Rows {
		switch {
		case row.Table == "coating" && r.Weighed > 0: // weighed, so not asked for
		case row.Table == "bead" && !a.countsBeads(r.Item):
		default:
			b.Rows = append(b.Rows, rowAnswer(row))
		}
	}
	a.Basis = append(a.Basis, b)
}

// countsBeads reports whether a joint of the plan takes an item by beads.
func (a *forecastAnswer) countsBeads(i joint.Item) bool {
	return slices.ContainsFunc(a.look.Planned.Plan.Joints, func(j joint.Joint) bool {
		return slices.ContainsFunc(j.Passes, func(p joint.Pass) bool {
			return p.Beads > 0 && metal.FoldClass(p.Item.Class) == i.Class && p.Item.Diameter.Near(i.Diameter)
		})
	})
}

// notes are those of the forecast that the basis does not say already, and what
// the stock and the weeks leave open.
func (a *forecastAnswer) notes() []string {
	said := map[string]bool{}
	for _, t := range a.look.Demand.Items {
		said[t.Rod.Describe()] = true
	}
	notes := []string{}
	for _, n := range a.look.Demand.Notes {
		if !said[n] && !strings.HasPrefix(n, "from memory") && !strings.HasPrefix(n, "allowances:") {
			notes = append(notes, n)
		}
	}
	notes = append(notes, "a joint counts whole in its week: what of it is welded already is not known",
		"rods count in the week in which they run out of date, and in none after it")
	notes = append(notes, carriedNote(a.look)...)
	if n := a.look.Later; n > 0 {
		notes = append(notes, fmt.Sprintf("lines of the plan after %s: %d", a.To, n))
	}
	return append(notes, a.look.Notes...)
}
