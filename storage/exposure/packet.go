package exposure

import (
	"math"
	"math/bits"

	"ovenward/inventory/measure"
)

// shared adds time in an opened packet or in a hopper: a share of its own limit
// is the same share of the exposure limit. Exposure is rounded up to a
// microsecond, and what that counts too early is taken off the next time, so that
// the sum does not depend on how the time was cut.
func (c *clock) shared(k Kind, from measure.Instant, d measure.Duration, r *law) {
	c.held = 0
	reach(&c.near, from, d, c.within(k, c.room(c.nearOf(r)), r))
	reach(&c.past, from, d, c.within(k, c.room(c.dueOf(r)), r))
	c.exposed += c.counted(k, d, r)
}

// own returns the limit of a packet or a hopper, and the clock's rounding of it.
func (c *clock) own(k Kind, r *law) (limit uint64, advance *uint64) {
	if k == Hopper {
		return uint64(r.Hopper.Limit), &c.advance[1]
	}
	return uint64(r.Packet.Limit), &c.advance[0]
}

// counted returns the exposure of time in a packet or hopper and keeps what
// rounding counted in advance.
func (c *clock) counted(k Kind, d measure.Duration, r *law) measure.Duration {
	per, advance := c.own(k, r)
	hi, lo := bits.Mul64(uint64(d), uint64(r.Exposure.Limit))
	lo, borrow := bits.Sub64(lo, *advance, 0)
	if borrow > hi { // all of it was counted before
		*advance = -lo
		return 0
	}
	hi -= borrow
	if hi >= per {
		return math.MaxInt64 / 4 // a limit of nearly nothing
	}
	n, rest := bits.Div64(hi, lo, per)
	*advance = 0
	if rest > 0 {
		n, *advance = n+1, per-rest
	}
	return measure.Duration(n)
}

// within returns how much time in a packet or hopper makes so much exposure, up
// to the exposure limit; less than nothing is none.
func (c *clock) within(k Kind, exposure measure.Duration, r *law) measure.Duration {
	if exposure <= 0 {
		return 0
	}
	per, advance := c.own(k, r)
	hi, lo := bits.Mul64(uint64(exposure), per)
	lo, carry := bits.Add64(lo, *advance, 0)
	n, _ := bits.Div64(hi+carry, lo, uint64(r.Exposure.Limit))
	return measure.Duration(n)
}
