package metal

// Cost is what a pound or a kilogram of weld metal comes to, in the shop's money.
// The unit of mass is that of the deposition rate and of the price.
type Cost struct {
	Labour float64 // wages and overhead
	Filler float64 // rods or wire, stubs and spatter included
	Other  float64 // what else is reckoned by mass; shielding gas is the welding engineer's and not computed here
}

// Total returns the sum.
func (c Cost) Total() float64 { return c.Labour + c.Filler + c.Other }

// LabourCost returns wages and overhead on a unit of weld metal: the cost of a
// welder's hour over deposition rate times operating factor.
func LabourCost(hour float64, p Pace) float64 { return hour / (p.Rate.Value * p.Factor.Value) }

// FillerCost returns the filler's share in a unit of weld metal: its price over
// its efficiency, which must be one that counts the stub where the price does.
func FillerCost(price, efficiency float64) float64 { return price / efficiency }
