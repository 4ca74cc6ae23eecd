package alarm

import (
	"fmt"
	"strings"
	"time"

	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/storage/exposure"
)

// Words is how a site writes times and temperatures.
type Words struct {
	Zone  *time.Location
	Units measure.UnitSystem
}

func (w Words) clock(at, base measure.Instant) string { return at.Clock(w.Zone, base) }

func (w Words) temp(t measure.Temperature) string {
	return t.In(w.Units)
}

func (r *Rods) condition(k Kind, subject string, since measure.Instant) Condition {
	return Condition{Kind: k, Subject: subject, Bundle: r.Bundle.Code, Since: since}
}

func (r *Rods) slipNear(slip string, since, until measure.Instant, j exposure.Judgement) Condition {
	c := r.condition(ExposureNear, slip, since)
	c.Until, c.Due, c.Priority = until, j.Due, Medium
	c.What = fmt.Sprintf("slip %s, %s: %s near %s", slip, r.Slip.Welder, r.stock(r.slipAmount()), r.limit(j))
	c.Consequence = "past it " + r.they() + " may not be used and must be " + r.fate(j)
	c.Action = "use " + r.them() + " up or bring " + r.them() + " back in time"
	if j.Due != 0 {
		c.Action = "use " + r.them() + " up or bring " + r.them() + " back before " + r.Words.clock(j.Due, since)
	}
	return c
}

func (r *Rods) slipPast(slip string, since measure.Instant, j exposure.Judgement) Condition {
	c := r.condition(ExposurePast, slip, since)
	c.Priority = High
	c.What = fmt.Sprintf("slip %s, %s: %s %s out past %s", slip, r.Slip.Welder, r.stock(r.slipAmount()), r.are(), r.limit(j))
	c.Consequence = fmt.Sprintf("%s used after %s was used past its limit; ", r.one(), r.Words.clock(since, since))
	if len(r.Slip.Joints) == 0 {
		c.Consequence += "no joint is named on the slip: QA must find where they went"
	} else {
		c.Consequence += "QA is to look at " + strings.Join(r.Slip.Joints, ", ")
	}
	c.Action = fmt.Sprintf("stop %s using %s and bring %s back to be %s", r.Slip.Welder, r.them(), r.them(), r.fate(j))
	return c
}

func (r *Rods) openNear(place inventory.Place, since, until measure.Instant, j exposure.Judgement) Condition {
	c := r.condition(ExposureNear, r.Bundle.Code, since)
	c.Until, c.Due, c.Priority = until, j.Due, Medium
	c.What = fmt.Sprintf("%s: %s, open (%s), near %s", r.Bundle.Code, r.stock(r.amount()), place.Name, r.limit(j))
	c.Consequence = "past it " + r.they() + " may not be issued and must be " + r.fate(j)
	c.Action = r.rescue(j) + " in time"
	if j.Due != 0 {
		c.Action = r.rescue(j) + " before " + r.Words.clock(j.Due, since)
	}
	return c
}

func (r *Rods) openPast(place inventory.Place, since measure.Instant, j exposure.Judgement) Condition {
	c := r.condition(ExposurePast, r.Bundle.Code, since)
	c.Priority = Medium
	c.What = fmt.Sprintf("%s: %s, open (%s), %s past %s", r.Bundle.Code, r.stock(r.amount()), place.Name, r.are(), r.limit(j))
	c.Consequence = r.they() + " may not be issued and must be " + r.fate(j)
	c.Action = fmt.Sprintf("keep %s apart and marked until %s %s %s", r.them(), r.they(), r.are(), r.fate(j))
	return c
}

func (r *Rods) holdComplete(place inventory.Place, j exposure.Judgement) Condition {
	c := r.condition(HoldComplete, r.Bundle.Code, j.Held)
	c.Priority = Low
	c.What = fmt.Sprintf("%s: %s in %s, hold complete", r.Bundle.Code, r.stock(r.amount()), place.Name)
	c.Consequence = r.they() + " may go out again"
	c.Action = "issue " + r.them() + " before another package is opened"
	if r.Lot.Status != inventory.Released || r.Bundle.Hold != "" {
		c.Consequence, c.Action = r.they()+" may go out again once QA lets "+r.them(), "nothing until QA has decided"
	}
	return c
}

func (r *Rods) daysNear(place inventory.Place, d exposure.HoldingDays) Condition {
	c := r.condition(HoldingNear, r.Bundle.Code, d.Warn)
	c.Priority, c.Due = Low, d.Due
	c.What = fmt.Sprintf("%s: %s in %s, %s of the %s in holding that are allowed", r.Bundle.Code, r.stock(r.amount()), place.Name,
		(d.Max - d.Due.Sub(d.Warn)).Words(), d.Max.Words())
	c.Consequence = "past them QA has to decide before it may be issued"
	c.Action = "issue it first, before " + r.Words.clock(d.Due, d.Warn)
	return c
}

func (r *Rods) daysPast(place inventory.Place, d exposure.HoldingDays) Condition {
	c := r.condition(HoldingPast, r.Bundle.Code, d.Due)
	c.Priority = Medium
	c.What = fmt.Sprintf("%s: %s in %s, longer in holding than the %s that are allowed", r.Bundle.Code, r.stock(r.amount()), place.Name, d.Max.Words())
	c.Consequence = "it may not be issued until QA has decided"
	c.Action = "keep it apart and marked; QA decides: ovenward decide list"
	return c
}

// stock names what the rods are: "40 rods of 1/8 in E7018".
func (r *Rods) stock(amount string) string {
	return strings.Join(strings.Fields(fmt.Sprintf("%s of %s %s", amount, r.Lot.Size, r.Lot.Mark.Canonical)), " ")
}

func (r *Rods) slipAmount() string {
	if r.Bundle.Code != r.Slip.Code { // set apart from the others of the slip
		return r.amount()
	}
	return amount(r.Lot, r.Slip.Pieces, r.Slip.Mass)
}

func (r *Rods) amount() string { return amount(r.Lot, r.Bundle.Pieces, r.Bundle.Mass) }

func amount(l inventory.Lot, pieces int64, mass measure.Mass) string {
	if !l.Counted() {
		return mass.String()
	}
	return inventory.Rods(pieces)
}

func (r *Rods) limit(j exposure.Judgement) string {
	their := "their"
	if !r.Lot.Counted() {
		their = "its"
	}
	if j.Portable > 0 {
		return their + " limit in the open and in the quiver"
	}
	return their + " limit of " + j.Limit.Words()
}

// fate is what becomes of rods past their limit.
func (r *Rods) fate(j exposure.Judgement) string {
	switch {
	case j.Ruling.Recipe.Never() || j.Spent != nil:
		return "scrapped"
	case j.Ruling.Bake == nil: // its rows contradict each other
		return "put before QA"
	case r.Lot.Noun() == "flux":
		return "dried again"
	}
	return "baked"
}

// rescue is what keeps open stock from passing its limit.
func (r *Rods) rescue(j exposure.Judgement) string {
	switch {
	case r.Lot.Counted():
		return "put them into a holding oven"
	case j.Ruling.Exposure.PausesInPack():
		return "use it up or put it back into its pack"
	case j.Ruling.Hold != nil && j.Ruling.Hold.Cabinet:
		return "use it up or put it into the cabinet"
	}
	return "use it up"
}

// they, them, are and one speak of rods, or of a mass of wire or flux.
func (r *Rods) they() string { return r.words("they", "it") }
func (r *Rods) them() string { return r.words("them", "it") }
func (r *Rods) are() string  { return r.words("are", "is") }
func (r *Rods) one() string  { return r.words("a rod", r.Lot.Noun()) }

func (r *Rods) words(rods, mass string) string {
	if r.Lot.Counted() {
		return rods
	}
	return mass
}
