package supply

import "math"

// Lead is how a lead time and the use in it vary. Times are in one unit: use a
// week with lead times in weeks.
type Lead struct {
	Use, UseSpread   float64 // of one period: mean and standard deviation
	Time, TimeSpread float64 // in periods: mean and standard deviation
}

// Safety returns the stock kept above the mean use of a lead time, so that the
// part of lead times given by service brings no shortage. Use in one period is
// taken for independent of that in the next: z sqrt(L s^2 + d^2 sL^2).
func (l Lead) Safety(service float64) float64 { return l.SafetyAt(NormalQuantile(service)) }

// SafetyAt is Safety for z standard deviations.
func (l Lead) SafetyAt(z float64) float64 {
	return z * math.Sqrt(l.Time*l.UseSpread*l.UseSpread+l.Use*l.Use*l.TimeSpread*l.TimeSpread)
}

// ReorderAt returns the stock at which to order: the mean use of a lead time and
// the safety stock of z standard deviations.
func (l Lead) ReorderAt(z float64) float64 { return l.Use*l.Time + l.SafetyAt(z) }
