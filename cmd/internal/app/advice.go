package app

import (
	"cmp"

	"ovenward/inventory"
	"ovenward/inventory/designation"
	"ovenward/inventory/measure"
	"ovenward/storage/air"
	"ovenward/storage/exposure"
	"ovenward/storage/moisture"
)

// airSpeaks is how long a reading of the air is taken to hold for an estimate where
// the rule set says nothing of it.
const airSpeaks = 4 * measure.Hour

// takenUp estimates the moisture of rods that were judged; nil where the rule set
// does not ask for it, or no figure is published of their covering.
func (v *view) takenUp(l inventory.Lot, j exposure.Judgement) (*moisture.Advice, error) {
	if !j.Ruling.Advice.Moisture || !l.Counted() || l.Mark.Family != designation.LowHydrogen || !j.Ruling.Clocked() {
		return nil, nil
	}
	covering := moisture.Plain
	if l.Mark.R {
		covering = moisture.Resistant
	}
	moistest, err := v.moistest(j.At.Add(-j.Most-cmp.Or(j.Ruling.Air.MaxGap, airSpeaks)), j.At)
	if err != nil {
		return nil, err
	}
	a := moisture.Advise(covering, j.Least, j.Most, j.Limit, moistest)
	return &a, nil
}

// moistest returns the air of the shop with the most water in it that was read
// between two instants; nil where none was.
func (v *view) moistest(from, to measure.Instant) (*air.Air, error) {
	log, err := v.airLog(string(inventory.OpenAir), from, to)
	if err != nil {
		return nil, err
	}
	var most *air.Air
	for _, o := range log.Observations(from, to) {
		if most == nil || o.Air.Vapour() > most.Vapour() {
			most = &o.Air
		}
	}
	return most, nil
}
