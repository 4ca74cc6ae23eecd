package app

import (
	"ovenward/forecast/demand"
	"ovenward/forecast/joint"
	"ovenward/forecast/metal"
	"ovenward/inventory/measure"
)

// ItemWork is what the need of an item takes of welders and of money.
type ItemWork struct {
	Item   joint.Item
	Arc    measure.Duration // that the arc burns
	Hours  measure.Duration // of welders
	Shift  int64            // rods that one welder burns in eight hours
	Filler float64          // money for rods, stubs included; 0 where no price is known
	Labour float64          // money for welders; 0 where no wage is known
	Pace   metal.Pace
	Money  metal.Money
}

// oneShift is the length of the shift that rods are counted for.
const oneShift = 8 * measure.Hour

// workOf returns the welders' hours for each item whose rate the tables know, in the
// order of the forecast.
func workOf(c *metal.Catalogue, items []demand.Total) []ItemWork {
	var list []ItemWork
	for _, t := range items {
		pace, known := c.Pace(t.Rod.Item)
		if !known {
			continue
		}
		grams := t.Deposited.Grams()
		w := ItemWork{Item: t.Rod.Item, Arc: pace.Arc(grams), Hours: pace.Work(grams), Shift: pace.Rods(t.Rod, oneShift),
			Pace: pace, Money: c.Money(t.Rod.Item)}
		w.Filler = w.Money.Gram * t.Purchased.Grams()
		w.Labour = w.Money.Hour * float64(w.Hours) / float64(measure.Hour)
		list = append(list, w)
	}
	return list
}
