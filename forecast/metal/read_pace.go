package metal

import (
	"fmt"
	"strconv"
	"strings"

	"ovenward/forecast/joint"
	"ovenward/inventory/measure"
)

// paceFile is the part of a file of tables that turns metal into hours and money.
type paceFile struct {
	Rate []struct {
		Class    string `toml:"class"`
		Diameter string `toml:"diameter"`
		Value    string `toml:"value"`
		Current  string `toml:"current"`
		Process  string `toml:"process"`
		source
	} `toml:"rate"`
	Factor []struct {
		Process string  `toml:"process"`
		Value   float64 `toml:"value"`
		Low     float64 `toml:"low"`
		High    float64 `toml:"high"`
		source
	} `toml:"operating_factor"`
	Position []struct {
		Position string  `toml:"position"`
		Value    float64 `toml:"value"`
		Low      float64 `toml:"low"`
		High     float64 `toml:"high"`
		source
	} `toml:"position_factor"`
	Labour []struct {
		Process string  `toml:"process"`
		Hour    float64 `toml:"hour"`
		source
	} `toml:"labour"`
	Price []struct {
		Class    string  `toml:"class"`
		Diameter string  `toml:"diameter"`
		Value    float64 `toml:"value"`
		Per      string  `toml:"per"`
		source
	} `toml:"price"`
}

// arcRate is a deposition rate with the process that it is of.
type arcRate struct {
	rate    Rate
	process string
}

func (l *loader) paces(f paceFile) {
	l.rates(f)
	l.factors(f)
	l.positions(f)
	l.labour(f)
	l.prices(f)
}

func (l *loader) rates(f paceFile) {
	for i, r := range f.Rate {
		k := l.begin("rate", i, r.Class, r.Diameter, r.source)
		l.needsDiameter(k)
		v, err := ParseRate(r.Value)
		if err != nil {
			l.fail("value: %w", err)
		}
		process := foldProcess(r.Process)
		if process == "" {
			l.fail("process: empty; write the process whose operating factor counts, such as SMAW")
		}
		text := v.String()
		if r.Current != "" {
			text += " at " + r.Current
		}
		put(l, l.c.rate, k, arcRate{v, process}, Row{"rate", k.String(), text, r.Source, r.Status})
	}
}

func (l *loader) factors(f paceFile) {
	for i, r := range f.Factor {
		k := l.beginNamed("operating_factor", i, "process", foldProcess(r.Process), r.source)
		v := Factor{r.Value, r.Low, r.High}
		l.within(v, 1)
		put(l, l.c.factor, k, v, Row{"operating_factor", k.class, v.String(), r.Source, r.Status})
	}
}

func (l *loader) positions(f paceFile) {
	for i, r := range f.Position {
		k := l.beginNamed("position_factor", i, "position", foldPosition(r.Position), r.source)
		v := Factor{r.Value, r.Low, r.High}
		l.within(v, 2)
		put(l, l.c.position, k, v, Row{"position_factor", k.class, v.String(), r.Source, r.Status})
	}
}

func (l *loader) labour(f paceFile) {
	for i, r := range f.Labour {
		k := l.beginNamed("labour", i, "process", foldProcess(r.Process), r.source)
		if !(r.Hour > 0 && r.Hour < 1e6) {
			l.fail("hour %v: not above zero; write what a welder's hour costs, overhead included", r.Hour)
		}
		put(l, l.c.labour, k, r.Hour, Row{"labour", k.class, money(r.Hour) + " an hour", r.Source, r.Status})
	}
}

func (l *loader) prices(f paceFile) {
	for i, r := range f.Price {
		k := l.begin("price", i, r.Class, r.Diameter, r.source)
		l.needsDiameter(k)
		per := map[string]measure.Mass{"lb": measure.Pound, "kg": measure.Kilogram}[r.Per]
		switch {
		case per == 0:
			l.fail("per %q: unknown; write lb or kg", r.Per)
		case !(r.Value > 0 && r.Value < 1e6):
			l.fail("value %v: not above zero; write the price of one %s", r.Value, r.Per)
		}
		put(l, l.c.price, k, r.Value/max(1, per.Grams()), Row{"price", k.String(), money(r.Value) + " a " + r.Per, r.Source, r.Status})
	}
}

// beginNamed starts a row that is found by a name instead of a class.
func (l *loader) beginNamed(table string, index int, field, name string, s source) key {
	if name == "" {
		l.at = place{table: table, index: index}
		l.fail("%s: empty; write which it is of", field)
	}
	k := l.begin(table, index, name, "", s)
	k.class = name
	return k
}

// within refuses a factor out of its own range or above a limit.
func (l *loader) within(v Factor, most float64) {
	switch {
	case !(v.Value > 0 && v.Value <= most):
		l.fail("value %v: not above 0 and at most %v; write a ratio such as 0.30", v.Value, most)
	case v.Low == 0 && v.High == 0:
	case !(v.Low > 0 && v.Low <= v.Value && v.Value <= v.High && v.High <= most):
		l.fail("low %v and high %v: value %v is not between them; write the range that the source prints", v.Low, v.High, v.Value)
	}
}

// String prints "30 % (15 to 40 %)".
func (f Factor) String() string {
	s := ratioText(f.Value)
	if f.High > 0 {
		s += fmt.Sprintf(" (%s to %s)", strings.TrimSuffix(ratioText(f.Low), " %"), ratioText(f.High))
	}
	return s
}

func money(v float64) string { return strconv.FormatFloat(v, 'f', 2, 64) }

func foldProcess(s string) string { return strings.ToUpper(strings.Join(strings.Fields(s), " ")) }

// foldPosition makes positions comparable.
func foldPosition(s string) string {
	return strings.ToLower(strings.NewReplacer("-", " ", "_", " ").Replace(strings.Join(strings.Fields(s), " ")))
}

// Pace returns how fast an item becomes weld metal; false where the tables have
// no deposition rate of it, or no operating factor of its process.
func (c *Catalogue) Pace(i joint.Item) (Pace, bool) {
	class := FoldClass(i.Class)
	var p Pace
	var r arcRate
	if !take(c.rate, classesOf(class), i.Diameter, &p.Rows, &r) {
		return p, false
	}
	p.Rate = r.rate
	return p, take(c.factor, []string{r.process}, 0, &p.Rows, &p.Factor)
}

// Position returns the factor on the metal of a groove for a position, with its
// row; false where the tables have none.
func (c *Catalogue) Position(name string) (Factor, Row, bool) {
	f, ok := c.position[key{class: foldPosition(name)}]
	return f.value, f.row, ok
}

// Money is what an item costs, each zero where the shop's tables do not say.
type Money struct {
	Gram float64 // of whole rods or wire
	Hour float64 // of a welder, overhead included
	Rows []Row
}

// Money returns the prices of an item and of the hours of its process. The
// program comes without prices: they are the shop's own.
func (c *Catalogue) Money(i joint.Item) Money {
	class := FoldClass(i.Class)
	classes := classesOf(class)
	var m Money
	take(c.price, classes, i.Diameter, &m.Rows, &m.Gram)
	var r arcRate
	if f, _, ok := find(c.rate, classes, i.Diameter); ok {
		r = f.value
	}
	take(c.labour, []string{r.process}, 0, &m.Rows, &m.Hour)
	return m
}

// Rows returns every row of every table, for people to compare with their own
// sheets: by table, in the order of its keys.
func (c *Catalogue) Rows() []Row {
	var all []Row
	for _, ch := range newCatalogue().Changes(c) {
		all = append(all, ch.Row)
	}
	return all
}
