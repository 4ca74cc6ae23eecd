package timeline

import (
	"ovenward/cmd/internal/app"
	"ovenward/inventory"
	"ovenward/inventory/measure"
)

// check records that somebody looked at an oven; a value that was read is a
// reading too.
func (r *replay) check(l Line, who string, at, noted measure.Instant) error {
	var e inventory.OvenChecked
	if err := l.into(&e); err != nil {
		return err
	}
	_, err := r.app.CheckOven(r.ctx, app.Request{ID: factID(l.Head.ID), At: at, Noted: noted, By: who}, &e)
	return err
}
