package app

import (
	"ovenward/inventory"
	"ovenward/inventory/jobdb"
	"ovenward/inventory/ledger"
	"ovenward/inventory/peopledb"
	"ovenward/inventory/stockdb"
	"ovenward/storage/ovendb"
	"ovenward/storage/ruledb"
)

// apply changes every projection as a fact says. It decides nothing: a ledger
// that was loaded or is rebuilt goes through here alone.
func (v *view) apply(f ledger.Fact, e inventory.Entry) error {
	if err := ruledb.Apply(v.ctx, v.tx, f, e); err != nil {
		return err
	}
	if err := ovendb.Apply(v.ctx, v.tx, f, e, v.dueOn); err != nil {
		return err
	}
	if err := peopledb.Apply(v.ctx, v.tx, f, e); err != nil {
		return err
	}
	if err := jobdb.Apply(v.ctx, v.tx, f, e); err != nil {
		return err
	}
	return stockdb.Apply(v.ctx, v.tx, f, e)
}
