package terms

import (
	_ "embed"
	"errors"
	"fmt"
	"io"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"github.com/BurntSushi/toml"

	"ovenward/forecast/joint"
	"ovenward/forecast/metal"
	"ovenward/forecast/supply"
	"ovenward/inventory"
	"ovenward/inventory/measure"
)

//go:embed template.toml
var template string

// Template returns an example with invented suppliers, which Read reads.
func Template() string { return template }

// file is the file as it is written.
type file struct {
	Service  string
	Hold     string
	Varies   string
	Supplier []supplierRow
	Item     []itemRow
	Expected []expectedRow
}

type supplierRow struct {
	Name, Lead, Spread, Release string
	OrderCost                   string `toml:"order_cost"`
}

type askRow struct {
	Specification, Length, Package, Schedule, Tests, Certificate, Product string
	LotClass                                                              string `toml:"lot_class"`
	Actual                                                                bool
}

type itemRow struct {
	Class, Size, Supplier, Policy, Service, Hold, Varies string
	Pack, Minimum, At, Quantity, Price, Shelf            string
	UpTo                                                 string `toml:"up_to"`
	Weeks                                                int
	Over, Under                                          string
	Breaks                                               []struct{ From, Price string }
	askRow
}

type expectedRow struct {
	Order, Supplier, Class, Size, Quantity, Due, Certificate string
	Actual                                                   bool
}

// Read reads a file. The error names every row and key that is wrong.
func Read(r io.Reader) (Terms, error) {
	var f file
	md, err := toml.NewDecoder(r).Decode(&f)
	if err != nil {
		return Terms{}, fmt.Errorf("what the buyer sets: %w", err)
	}
	b := &builder{}
	for _, key := range md.Undecoded() {
		b.fault("", "unknown key %s; ovenward buy policy template shows the known ones", key)
	}
	for _, s := range f.Supplier {
		b.supplier(s)
	}
	for _, i := range f.Item {
		b.item(f, i)
	}
	for _, e := range f.Expected {
		b.expected(e)
	}
	if len(b.faults) > 0 {
		return Terms{}, errors.Join(b.faults...)
	}
	return b.terms, nil
}

// builder checks rows one by one and keeps what is wrong with them.
type builder struct {
	terms  Terms
	row    string // being read
	faults []error
}

func (b *builder) fault(row, format string, args ...any) {
	text := fmt.Sprintf(format, args...)
	if row != "" {
		text = row + ": " + text
	}
	b.faults = append(b.faults, errors.New(text))
}

// keep reads one cell by a parser, where it is given.
func keep[T any](b *builder, key, cell string, parse func(string) (T, error)) (v T) {
	if cell == "" {
		return v
	}
	v, err := parse(cell)
	if err != nil {
		b.fault(b.row, "%s: %v", key, err)
	}
	return v
}

func (b *builder) supplier(r supplierRow) {
	b.row = "supplier " + r.Name
	s := Supplier{Name: r.Name, LeadDays: int(keep(b, "lead", r.Lead, parseDays)), LeadSpread: keep(b, "spread", r.Spread, parseDays),
		ReleaseDays: int(keep(b, "release", r.Release, parseDays)), OrderCost: b.money("order_cost", r.OrderCost)}
	switch {
	case r.Name == "":
		b.fault("supplier", "has no name")
	case slices.ContainsFunc(b.terms.Suppliers, func(o Supplier) bool { return o.Name == r.Name }):
		b.fault(b.row, "is there twice")
	}
	b.terms.Suppliers = append(b.terms.Suppliers, s)
}

func (b *builder) name(what, class, size string) joint.Item {
	b.row = strings.TrimSpace(fmt.Sprintf("%s %s %s", what, class, size))
	i := joint.Item{Class: strings.TrimSpace(class), Diameter: keep(b, "size", size, measure.ParseLength)}
	switch {
	case i.Class != "" && metal.IsFlux(i.Class):
		if size != "" {
			b.fault(b.row, "size: a flux has none")
		}
	case i.Class == "" || size == "":
		b.fault(b.row, "write class and size, such as E7018 and 1/8 in")
	}
	return i
}

func (b *builder) item(f file, r itemRow) {
	i := Item{Item: b.name("item", r.Class, r.Size)}
	if _, twice := b.terms.For(i.Item); twice {
		b.fault(b.row, "is there twice")
	}
	at := slices.IndexFunc(b.terms.Suppliers, func(s Supplier) bool { return s.Name == r.Supplier })
	switch {
	case at >= 0:
		i.Supplier = b.terms.Suppliers[at]
	case r.Supplier != "":
		b.fault(b.row, "supplier %q is not among those named above", r.Supplier)
	}
	i.pack, i.minimum = keep(b, "pack", r.Pack, ParseAmount), keep(b, "minimum", r.Minimum, ParseAmount)
	i.at, i.upTo, i.quantity = keep(b, "at", r.At, ParseAmount), keep(b, "up_to", r.UpTo, ParseAmount), keep(b, "quantity", r.Quantity, ParseAmount)
	if i.pack.Unit == Packs {
		b.fault(b.row, "pack %q: write what is in one, such as 150 rods or 4.5 kg", r.Pack)
	}
	b.prices(&i, r)
	b.massOnly(i)
	i.Policy = b.policy(f, r, i.Supplier)
	i.Varies = keep(b, "varies", first(r.Varies, f.Varies), parsePart)
	i.Ask = b.ask(r.askRow, r.Class)
	b.whole(i, r)
	b.terms.Items = append(b.terms.Items, i)
}

// massOnly refuses rods of what is bought by mass.
func (b *builder) massOnly(i Item) {
	if !metal.ByMass(i.Class) {
		return
	}
	units := []Unit{i.pack.Unit, i.minimum.Unit, i.at.Unit, i.upTo.Unit, i.quantity.Unit}
	for _, p := range i.prices {
		units = append(units, p.from.Unit, p.per)
	}
	if slices.Contains(units, Pieces) {
		b.fault(b.row, "wire and flux are bought by mass: write kg, lb, or packs such as 2 spools")
	}
}

func (b *builder) policy(f file, r itemRow, s Supplier) supply.Policy {
	p := supply.Policy{Method: supply.OneByOne, LeadDays: s.LeadDays, LeadSpread: s.LeadSpread, ReleaseDays: s.ReleaseDays,
		OrderCost: s.OrderCost, Weeks: r.Weeks, Over: b.money("over", r.Over), Under: b.money("under", r.Under)}
	if r.Policy != "" {
		p.Method = supply.Method(r.Policy)
	}
	p.Service = keep(b, "service", first(r.Service, f.Service), parsePart)
	p.Hold = keep(b, "hold", first(r.Hold, f.Hold), parsePart)
	if p.Service >= 1 {
		b.fault(b.row, "service %s: no stock makes it certain; write 99.9 %% or less", first(r.Service, f.Service))
	}
	shelf := keep(b, "shelf", r.Shelf, inventory.ParseAge)
	if days := shelf.Months*365/12 + shelf.Days; days > 0 {
		p.ShelfWeeks = max(1, days/7)
	}
	return p
}

// whole says what a method needs and the row does not have.
func (b *builder) whole(i Item, r itemRow) {
	p := i.Policy
	need := func(ok bool, what string) {
		if !ok {
			b.fault(b.row, "policy %s needs %s", p.Method, what)
		}
	}
	switch p.Method {
	case supply.ByEOQ, supply.BySilverMeal, supply.ByLeastCost:
		need(p.OrderCost > 0, "order_cost of its supplier, such as 60 EUR")
		need(p.Hold > 0, "hold, such as 20 %")
		need(len(i.prices) > 0, "price, such as 4.20 EUR/kg")
	case supply.ByPeriod:
		need(p.Weeks > 0, "weeks, such as 4")
	case supply.ByLevels:
		need(i.at.Value > 0 && i.upTo.Value > 0, "at and up_to, such as 100 rods and 6 packs")
		need(i.at.Unit != i.upTo.Unit || i.at.Value < i.upTo.Value, "up_to above at")
	case supply.ByQuantity:
		need(i.at.Value > 0 && i.quantity.Value > 0, "at and quantity, such as 100 rods and 2 packs")
	case supply.ByJob:
		need(p.Over > 0 && p.Under > 0, "over and under, the cost of a rod too many and too few")
	case supply.OneByOne:
	default:
		b.fault(b.row, "policy %q: write one of %v", r.Policy, supply.Methods())
	}
}

func (b *builder) prices(i *Item, r itemRow) {
	if r.Price != "" {
		i.prices = append(i.prices, b.price("price", Amount{}, r.Price))
	} else if len(r.Breaks) > 0 {
		b.fault(b.row, "breaks: write the price below them as price")
	}
	for _, br := range r.Breaks {
		from := keep(b, "from", br.From, ParseAmount)
		if from.Value == 0 || br.Price == "" {
			b.fault(b.row, "breaks: write from and price, such as 10 packs and 3.95 EUR/kg")
		}
		if last := i.prices; len(last) > 1 && last[len(last)-1].from.Unit == from.Unit && last[len(last)-1].from.Value >= from.Value {
			b.fault(b.row, "breaks: %s comes behind %s; write them from the least on", from, last[len(last)-1].from)
		}
		i.prices = append(i.prices, b.price("breaks", from, br.Price))
	}
}

// price reads "4.20 EUR/kg".
func (b *builder) price(key string, from Amount, text string) price {
	money, per, ok := strings.Cut(text, "/")
	p := price{from: from, per: unitWords[strings.ToLower(strings.TrimSpace(per))]}
	if !ok || p.per == "" {
		b.fault(b.row, "%s %q: write what it is the price of, such as 4.20 EUR/kg, 18.60 EUR/pack or 0.12 EUR/rod", key, text)
	}
	p.money = b.paid(key, money)
	return p
}

// money reads an amount of the file's one currency.
func (b *builder) money(key, text string) float64 {
	return float64(b.paid(key, text).Amount) / inventory.PriceUnit
}

func (b *builder) paid(key, text string) inventory.Price {
	m := keep(b, key, text, inventory.ParsePrice)
	switch {
	case m.Currency == "" || m.Currency == b.terms.Currency:
	case b.terms.Currency == "":
		b.terms.Currency = m.Currency
	default:
		b.fault(b.row, "%s %q: the file counts in %s; write all in one currency", key, text, b.terms.Currency)
	}
	return m
}

func (b *builder) ask(r askRow, class string) Ask {
	a := Ask{Specification: r.Specification, Length: keep(b, "length", r.Length, measure.ParseLength), LotClass: strings.ToUpper(r.LotClass),
		Package: keep(b, "package", r.Package, inventory.ParsePackage), Schedule: strings.ToUpper(r.Schedule), Tests: r.Tests,
		Certificate: keep(b, "certificate", r.Certificate, inventory.ParsePaperKind), Actual: r.Actual, Product: r.Product}
	if err := a.check(class); err != nil {
		b.fault(b.row, "%v", err)
	}
	return a
}

func (b *builder) expected(r expectedRow) {
	e := Expected{Item: b.name("expected "+r.Order, r.Class, r.Size), Order: r.Order, Supplier: r.Supplier,
		Quantity: keep(b, "quantity", r.Quantity, ParseAmount), Due: keep(b, "due", r.Due, measure.ParseDate)}
	e.Ask = b.ask(askRow{Certificate: r.Certificate, Actual: r.Actual}, r.Class)
	if metal.ByMass(e.Class) && e.Quantity.Unit == Pieces {
		b.fault(b.row, "quantity %s: wire and flux are bought by mass; write kg, lb, or packs", e.Quantity)
	}
	if r.Quantity == "" || r.Due == "" || r.Order == "" {
		b.fault(b.row, "write order, quantity and due, such as PO-4411, 10 packs and 2026-12-04")
	}
	b.terms.Expected = append(b.terms.Expected, e)
}

func first(a, b string) string {
	if a != "" {
		return a
	}
	return b
}

var (
	daysForm = regexp.MustCompile(`^(\d{1,4}(?:\.\d{1,2})?) *(days?|d|weeks?|w)$`)
	partForm = regexp.MustCompile(`^(\d{1,3}(?:\.\d{1,3})?) *%$`)
)

// parseDays reads "21 days" or "3 weeks".
func parseDays(s string) (float64, error) {
	m := daysForm.FindStringSubmatch(strings.ToLower(strings.TrimSpace(s)))
	if m == nil {
		return 0, fmt.Errorf("%q: write 21 days or 3 weeks", s)
	}
	n, err := strconv.ParseFloat(m[1], 64)
	if m[2][0] == 'w' {
		n *= 7
	}
	return n, err
}

// parsePart reads "95 %".
func parsePart(s string) (float64, error) {
	m := partForm.FindStringSubmatch(strings.TrimSpace(s))
	if m == nil {
		return 0, fmt.Errorf("%q: write a percentage such as 95 %%", s)
	}
	n, err := strconv.ParseFloat(m[1], 64)
	return n / 100, err
}
