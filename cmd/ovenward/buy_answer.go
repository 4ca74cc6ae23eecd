package main

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"ovenward/cmd/internal/app"
	"ovenward/forecast/joint"
	"ovenward/forecast/metal"
	"ovenward/forecast/supply"
	"ovenward/inventory"
	"ovenward/inventory/measure"
)

// buyAnswer is an order proposal for a program.
type buyAnswer struct {
	At          measure.Instant     `json:"at_us"`
	Currency    string              `json:"currency,omitempty"`
	Plan        forecastPlan        `json:"plan"`
	Policy      policyAnswer        `json:"policy"`
	Orders      []orderAnswer       `json:"orders"` // the late ones first
	Items       []itemSupply        `json:"items"`
	OnOrder     []onOrderAnswer     `json:"on_order"`
	NotCounted  []notCountedAnswer  `json:"stock_not_counted"`
	NotComputed []notComputedAnswer `json:"not_computed"`
	Problems    []problemAnswer     `json:"problems"`
	Notes       []string            `json:"notes"`

	look app.Purchase
}

// policyAnswer names the file in which the buyer sets how to buy.
type policyAnswer struct {
	Revision int64           `json:"revision"` // zero: none was loaded
	File     string          `json:"file,omitempty"`
	Loaded   measure.Instant `json:"loaded_us,omitempty"`
	By       string          `json:"by,omitempty"`
}

// orderAnswer is one order.
type orderAnswer struct {
	OrderBy       string   `json:"order_by,omitempty"` // left out where no lead time is set
	Late          int      `json:"late_days,omitempty"`
	HereBy        string   `json:"here_by"` // and released by QA
	Ready         string   `json:"ready,omitempty"`
	Supplier      string   `json:"supplier,omitempty"`
	Specification string   `json:"specification,omitempty"`
	Class         string   `json:"class"`
	Unit          string   `json:"unit,omitempty"` // g where pieces are grams of wire or flux, and price_each is of one; else rods
	Diameter      float64  `json:"diameter_mm"`
	Length        float64  `json:"length_mm,omitempty"`
	Product       string   `json:"product,omitempty"`
	Package       string   `json:"package,omitempty"`
	Pieces        int64    `json:"pieces"`
	Packs         int64    `json:"packs,omitempty"`
	InPack        int64    `json:"pieces_in_pack,omitempty"`
	Mass          float64  `json:"mass_g,omitempty"`
	Each          float64  `json:"price_each,omitempty"`
	Cost          float64  `json:"cost,omitempty"`
	LotClass      string   `json:"lot_class,omitempty"`
	Schedule      string   `json:"test_schedule,omitempty"`
	Tests         string   `json:"tests,omitempty"`
	Certificate   string   `json:"certificate,omitempty"`
	Results       string   `json:"results,omitempty"` // actual, where the lot's own are asked for
	Approvals     []string `json:"approvals,omitempty"`
	MaxTestAge    string   `json:"max_test_age,omitempty"`
	Jobs          []string `json:"jobs"`
	Week          string   `json:"week"`
	Last          string   `json:"last_week"`
	Outdated      int64    `json:"out_of_date,omitempty"` // pieces that the plan does not need in time
	P50           int64    `json:"p50,omitempty"`         // pieces that its weeks take in half of all runs
	P90           int64    `json:"p90,omitempty"`         // and in nine of ten
	Why           string   `json:"why"`
	Confidence    string   `json:"confidence"`

	item   joint.Item
	length measure.Length
}

// itemSupply is an item week by week.
type itemSupply struct {
	Class    string       `json:"class"`
	Unit     string       `json:"unit,omitempty"` // g where need, usable and so on are grams; else rods
	Diameter float64      `json:"diameter_mm"`
	Papers   string       `json:"papers,omitempty"` // that the jobs ask for
	Jobs     []string     `json:"jobs"`
	Safety   int64        `json:"safety_stock"`
	Weeks    []weekSupply `json:"weeks"`
	Notes    []string     `json:"notes,omitempty"`
}

type weekSupply struct {
	Week      string `json:"week"`
	Need      int64  `json:"need"`
	Usable    int64  `json:"usable"`
	Expired   int64  `json:"expired,omitempty"`
	Short     int64  `json:"short,omitempty"` // without the orders
	Projected int64  `json:"projected"`       // with them; below zero is short
}

// onOrderAnswer is a delivery that is on order.
type onOrderAnswer struct {
	Order    string `json:"order"`
	Class    string `json:"class"`
	Unit     string `json:"unit,omitempty"` // g where pieces are grams; else rods
	Quantity string `json:"quantity"`
	Pieces   int64  `json:"pieces"`
	Due      string `json:"due"`
	Why      string `json:"not_counted,omitempty"`
	size     string
	item     joint.Item
}

func newBuyAnswer(o app.Purchase) *buyAnswer {
	r, p, b := o.Planned.Revision, o.Planned.Plan, o.Buying
	a := &buyAnswer{At: o.At, Currency: b.Terms.Currency, look: o,
		Plan: forecastPlan{Revision: r.Number, File: r.Name, Loaded: r.Loaded, By: r.By, RowsRead: len(p.Joints),
			RowsNotRead: app.UnreadRows(p), Carried: o.Carried, Oldest: carriedSince(o.Outlook), Later: o.Later},
		Policy: policyAnswer{Revision: b.Revision.Number, File: b.Revision.Name, Loaded: b.Revision.Loaded, By: b.Revision.By},
		Orders: []orderAnswer{}, Items: []itemSupply{}, OnOrder: []onOrderAnswer{}, NotCounted: []notCountedAnswer{},
		NotComputed: []notComputedAnswer{}, Problems: problemAnswers(p.Problems), Notes: append([]string{}, o.Notes...)}
	a.addOrders()
	for _, d := range o.Due {
		a.OnOrder = append(a.OnOrder, onOrderAnswer{Order: d.Order, Class: d.Class, Unit: gramsOf(d.Item), Quantity: d.Quantity.String(),
			Pieces: d.Pieces, Due: string(d.Due), Why: d.Why, size: d.Item.Size(), item: d.Item})
	}
	for _, n := range o.NotCounted {
		a.NotCounted = append(a.NotCounted, notCountedAnswer{Class: n.Item.Class, Unit: gramsOf(n.Item), Diameter: millimetres(n.Item),
			Pieces: n.Pieces, Lots: n.Lots, Why: n.Why, item: n.Item})
	}
	for _, n := range o.Demand.NotComputed {
		a.NotComputed = append(a.NotComputed, newNotComputed(n.Joint, n.Err))
	}
	a.Notes = append(a.Notes, carriedNote(o.Outlook)...)
	return a
}

// addOrders lists the orders of all items by how late they are.
func (a *buyAnswer) addOrders() {
	type one struct {
		supply.Order
		of app.Bought
	}
	var all []one
	for _, b := range a.look.Bought {
		a.Items = append(a.Items, newItemSupply(b))
		for _, o := range b.Orders {
			all = append(all, one{o, b})
		}
	}
	slices.SortStableFunc(all, func(x, y one) int { return supply.Late(x.Order, y.Order) })
	for _, o := range all {
		a.Orders = append(a.Orders, newOrderAnswer(o.Order, o.of, a.look.Units))
	}
}

func newOrderAnswer(o supply.Order, b app.Bought, units measure.UnitSystem) orderAnswer {
	ask := b.Ask
	ans := orderAnswer{OrderBy: string(o.OrderBy), Late: o.Late, HereBy: string(o.HereBy), Ready: string(o.Ready),
		Supplier: b.Terms.Supplier.Name, Specification: ask.Spec(o.Item.Class), Class: o.Item.Class, Unit: gramsOf(o.Item), Diameter: millimetres(o.Item),
		Length: ask.Length.Millimetres(), Product: ask.Product, Package: string(ask.Package), Pieces: o.Pieces, Packs: o.Packs,
		InPack: b.Policy.Pack, Mass: rounded(float64(o.Pieces) * b.Rod.PieceMass().Grams()), Each: priceEach(o), Cost: rounded(o.Cost()),
		LotClass: ask.LotClass, Schedule: ask.Schedule, Tests: ask.Tests, Certificate: string(ask.Certificate),
		Approvals: b.Approval, Jobs: b.Jobs, Week: o.Week.String(), Last: o.Last.String(), Outdated: o.Outdated, P50: o.P50, P90: o.P90,
		Why: o.Why, Confidence: confidence(o, b, units), item: o.Item, length: ask.Length}
	if ask.Actual {
		ans.Results = "actual"
	}
	if b.MaxAge != (inventory.Age{}) {
		ans.MaxTestAge = b.MaxAge.String()
	}
	return ans
}

// priceEach is the price of one piece, of which a gram needs more places than a rod.
func priceEach(o supply.Order) float64 {
	if metal.ByMass(o.Item.Class) {
		return math.Round(o.Price*1e8) / 1e8
	}
	return rounded(o.Price)
}

func newItemSupply(b app.Bought) itemSupply {
	s := itemSupply{Class: b.Item.Class, Unit: gramsOf(b.Item), Diameter: millimetres(b.Item), Papers: b.Papers, Jobs: b.Jobs, Safety: b.Safety, Notes: b.Notes}
	for t, w := range b.Weeks {
		week := weekSupply{Week: w.Week.String(), Need: w.Pieces, Usable: w.Usable, Expired: w.Expired, Short: w.Short}
		if t < len(b.Projected) {
			week.Projected = b.Projected[t]
		}
		s.Weeks = append(s.Weeks, week)
	}
	return s
}

// confidence says in one line how far an order can be relied on.
func confidence(o supply.Order, b app.Bought, units measure.UnitSystem) string {
	var doubts, said []string
	switch {
	case o.P90 > 0:
		said = append(said, fmt.Sprintf("its weeks take %s in half of all cases, %s in nine of ten", app.ItemAmount(o.Item, o.P50, units), app.ItemAmount(o.Item, o.P90, units)))
	case b.Spread == nil:
		doubts = append(doubts, "one figure, no range of need")
	default:
		said = append(said, fmt.Sprintf("a week's need varies by %.0f %%, as the buyer set it", 100*b.Terms.Varies))
	}
	if k := b.Taught; k.Weeks > 0 && o.P90 > 0 {
		said = append(said, fmt.Sprintf("by %s, use is %.2f of the plan", counted(k.Weeks, "past week", "past weeks"), k.Mean))
	}
	memory := 0
	for _, r := range b.Rod.Rows {
		if r.Status == joint.Memory {
			memory++
		}
	}
	if memory > 0 {
		doubts = append(doubts, fmt.Sprintf("%d of %d figures from memory", memory, len(b.Rod.Rows)))
	}
	switch p := b.Policy; {
	case p.LeadDays == 0:
		doubts = append(doubts, "lead time not known")
	case p.LeadSpread == 0:
		doubts = append(doubts, "spread of the lead time not known")
	}
	levels := []string{"good", "fair", "low"}
	level := levels[min(len(doubts), len(levels)-1)]
	return strings.Join(slices.Concat([]string{level}, said, doubts), "; ")
}

// missing says what of the plan is in no order.
func (a *buyAnswer) missing() string {
	f := forecastAnswer{NotComputed: a.NotComputed, Plan: a.Plan}
	return f.missing()
}

// asks is what an order line says, in the words of the procurement guideline.
func (o orderAnswer) asks() string {
	size := o.item.String()
	if o.length > 0 {
		size += " x " + joint.SizeText(o.length)
	}
	parts := []string{strings.TrimSpace(o.Specification + " " + size)}
	if o.Product != "" {
		parts = append(parts, o.Product)
	}
	parts = append(parts, cmp.Or(o.Package, "PACKAGE NOT STATED"))
	parts = append(parts, "A5.01 lot class "+cmp.Or(o.LotClass, "NOT STATED")+", schedule "+cmp.Or(o.Schedule, "NOT STATED"))
	if o.Tests != "" {
		parts = append(parts, "tests: "+o.Tests)
	}
	paper := "certificate " + cmp.Or(o.Certificate, "NOT STATED")
	if o.Results != "" {
		paper += " with the results of the lot itself"
	}
	if o.MaxTestAge != "" {
		paper += ", tested at most " + o.MaxTestAge + " before it comes"
	}
	for _, ap := range o.Approvals {
		paper += ", approval " + ap
	}
	return strings.Join(append(parts, paper), "; ")
}
