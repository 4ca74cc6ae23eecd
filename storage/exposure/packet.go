package exposure

import (
	"math"
	"math/bits"

	"ovenward/inventory/measure"
)

// packed adds time in an opened packet: a share of the packet's limit is the
// same share of the exposure limit. Exposure is rounded up to a microsecond, and
// what that counts too early is taken off the next time, so that the sum does
// not depend on how the time was cut.
func (c *clock) packed(from measure.Instant, d measure.Duration, r *law) {
	c.held = 0
	reach(&c.near, from, d, c.inPacket(c.room(c.nearOf(r)), r))
	reach(&c.past, from, d, c.inPacket(c.room(c.dueOf(r)), r))
	c.exposed += c.counted(d, r)
}

// counted returns the exposure of time in a packet and keeps what rounding
// counted in advance.
func (c *clock) counted(d measure.Duration, r *law) measure.Duration {
	per := uint64(r.Packet.Limit)
	hi, lo := bits.Mul64(uint64(d), uint64(r.Exposure.Limit))
	lo, borrow := bits.Sub64(lo, c.advance, 0)
	if borrow > hi { // all of it was counted before
		c.advance = -lo
		return 0
	}
	hi -= borrow
	if hi >= per {
		return math.MaxInt64 / 4 // a packet limit of nearly nothing
	}
	n, rest := bits.Div64(hi, lo, per)
	c.advance = 0
	if rest > 0 {
		n, c.advance = n+1, per-rest
	}
	return measure.Duration(n)
}

// inPacket returns how much time in a packet makes so much exposure, up to the
// exposure limit; less than nothing is none.
func (c *clock) inPacket(exposure measure.Duration, r *law) measure.Duration {
	if exposure <= 0 {
		return 0
	}
	hi, lo := bits.Mul64(uint64(exposure), uint64(r.Packet.Limit))
	lo, carry := bits.Add64(lo, c.advance, 0)
	n, _ := bits.Div64(hi+carry, lo, uint64(r.Exposure.Limit))
	return measure.Duration(n)
}
