package app

import (
	"ovenward/inventory"
	"ovenward/inventory/ledger"
	"ovenward/inventory/measure"
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
	due := func(d measure.Date) (measure.Instant, error) { return d.AddDays(-1).End(v.zone), nil }
	if err := ovendb.Apply(v.ctx, v.tx, f, e, due); err != nil {
		return err
	}
	return stockdb.Apply(v.ctx, v.tx, f, e)
}
