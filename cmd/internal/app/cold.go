package app

import (
	"cmp"
	"fmt"
	"slices"

	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/storage/evidence"
	"ovenward/storage/rules"
)

// warmEnough refuses to open a pack that is colder than the room, or warns of
// it, as the rule set says: water condenses on what is in it.
func (d *desk) warmEnough(set *rules.Set, l inventory.Lot, b inventory.Bundle, saidCold bool) error {
	if set == nil || !b.Sealed {
		return nil
	}
	row := set.WarmUps(subject(l, b))
	if row == nil {
		return nil
	}
	out, still, err := d.outOfTheCold(b, row, saidCold)
	if err != nil || out == 0 || d.at >= out.Add(row.Wait) {
		return err
	}
	ref := &inventory.Refusal{Code: inventory.HoldNotComplete, Subject: b.Code, Value: d.at.Sub(out).String(), Limit: row.Wait.String(),
		Rule: set.ID + "/" + row.Row, Source: row.Source}
	may := out.Add(row.Wait).NextMinute().Clock(d.zone, d.at)
	ref.Why = fmt.Sprintf("it came out of the cold at %s and stays closed until %s: water would condense in it", out.Clock(d.zone, d.at), may)
	ref.Next = fmt.Sprintf("leave it closed in the room; it may be opened at %s", may)
	if still {
		ref.Why = fmt.Sprintf("%s is below %s: water would condense in it", b.Place.Name, row.Below)
		ref.Next = fmt.Sprintf("bring it into the room closed and record it: ovenward move %s --into store; it may be opened %s later",
			b.Code, row.Wait.Words())
	}
	if row.Cold == rules.ColdWarns {
		d.warn("%s: %s", b.Code, ref.Why)
		return nil
	}
	return d.ruled(ref)
}

// outOfTheCold returns when a closed pack last left the cold, now if it is still
// there; zero if nothing says that it was. Only what was read within the wait,
// or the reading before it, can matter. Where a person says that it came from
// the cold, it did so when it came to where it is.
func (d *desk) outOfTheCold(b inventory.Bundle, row *rules.WarmUpRow, saidCold bool) (out measure.Instant, still bool, err error) {
	h, err := d.history(b)
	if err != nil {
		return 0, false, err
	}
	for i, s := range slices.Backward(h.Stays) {
		to := cmp.Or(s.To, d.at)
		if to < d.at.Add(-row.Wait) || !s.Sealed {
			break
		}
		cold, err := d.coldUntil(s, row, to)
		if err != nil {
			return 0, false, err
		}
		if cold != 0 {
			return cold, cold == d.at && i == len(h.Stays)-1, nil
		}
		if saidCold {
			return s.From, false, nil
		}
	}
	return 0, false, nil
}

// coldUntil returns until when a place was cold during a stay that is looked at
// up to an instant; zero if it was not.
func (d *desk) coldUntil(s inventory.Stay, row *rules.WarmUpRow, to measure.Instant) (measure.Instant, error) {
	const back = 7 * measure.Day // a reading older than that says nothing of a room
	p, err := d.readings(s.Place.Name, max(s.From, to.Add(-row.Wait)).Add(-back), to)
	if err != nil {
		return 0, err
	}
	return evidence.ColdUntil(p.Readings(0, to), row.Below.Temperature, s.From, to), nil
}
