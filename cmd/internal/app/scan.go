package app

import (
	"encoding/json"
	"errors"
	"slices"

	"ovenward/inventory"
	"ovenward/inventory/ledger"
	"ovenward/inventory/ledgerdb"
	"ovenward/inventory/measure"
	"ovenward/migrations/db"
)

// doubleScan is the time within which a second scan of the same thing by the
// same person at the same terminal is a scanner's bounce, not a second act.
const doubleScan = 5 * measure.Second

// scannedTwice returns the first outcome when the same was asked for a moment
// ago: one fact, or the first of as many as are asked for together.
func (d *desk) scannedTwice(r Request, parts int) (Done, bool, error) {
	if parts == 0 || r.Paper {
		return Done{}, false, nil // facts recorded together, and rows of paper, are alike on purpose
	}
	const look = 5 // facts; a bounce follows at once
	recent, err := ledgerdb.Recent(d.ctx, d.tx, d.site, look+parts-1)
	if err != nil {
		return Done{}, false, err
	}
	for _, f := range recent {
		if held, err := d.heldSince(r.Entry, f); held || err != nil {
			return Done{}, false, err
		}
		first, ok, err := d.bounced(r, f, parts)
		if ok || err != nil {
			return Done{Fact: f, Entry: first, Repeat: true}, ok, err
		}
	}
	return Done{}, false, nil
}

// heldSince reports whether a recent fact stopped what a request speaks of.
// What was handed out before it is no answer to a scan after it.
func (d *desk) heldSince(e inventory.Entry, f ledger.Fact) (bool, error) {
	if f.Kind != "hold" || e.Kind() == "hold" {
		return false, nil
	}
	hold, err := inventory.DecodeEntry(f.Kind, f.Body)
	if err != nil {
		return false, err
	}
	lots, err := d.lotsOf(e)
	if _, refused := errors.AsType[*inventory.Refusal](err); refused {
		return false, nil // the request is refused for that where it is decided
	}
	stopped := hold.(*inventory.HeldBack)
	return slices.Contains(lots, stopped.Lot) || slices.Contains(names(e), stopped.Bundle), err
}

// bounced reports whether a request is a second scan of what a fact recorded.
func (d *desk) bounced(r Request, f ledger.Fact, parts int) (inventory.Entry, bool, error) {
	if f.Kind != r.Entry.Kind() || f.By != r.By || f.Via != d.app.Via || f.Supersedes != "" ||
		d.noted.Sub(f.Noted) > doubleScan || r.At.Sub(f.At) > doubleScan || f.At > r.At {
		return nil, false, nil
	}
	first, err := inventory.DecodeEntry(f.Kind, f.Body)
	if err != nil || !same(r.Entry, first) {
		return nil, false, err
	}
	if parts == 1 {
		return first, true, nil
	}
	_, err = ledgerdb.ByID(d.ctx, d.tx, d.site, following(f.ID, parts-1))
	if errors.Is(err, db.ErrNotFound) {
		return nil, false, nil
	}
	return first, err == nil, err
}

// same reports whether a request asks for what was recorded: everything that
// it states is as recorded, leaving out what the program assigned.
func same(asked, recorded inventory.Entry) bool {
	a, b := fields(asked), fields(recorded)
	if len(a) == 0 {
		return false
	}
	for name, value := range a {
		if string(b[name]) != string(value) {
			return false
		}
	}
	for name := range b {
		if _, ok := a[name]; !ok && !assigned[name] {
			return false
		}
	}
	return true
}

// assigned are the fields that the program may fill in.
var assigned = map[string]bool{"slip": true, "bundle": true, "as": true, "holder": true, "into": true, "judged": true, "units": true,
	"overrode": true, "flags": true, "job": true, "class": true, "diameter": true, "procedures": true}

func fields(e inventory.Entry) map[string]json.RawMessage {
	var m map[string]json.RawMessage
	b, err := json.Marshal(e)
	if err != nil || json.Unmarshal(b, &m) != nil {
		return nil
	}
	return m
}
