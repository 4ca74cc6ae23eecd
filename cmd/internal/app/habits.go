package app

import (
	"context"
	"time"

	"ovenward/inventory"
	"ovenward/inventory/measure"
)

// Habits are what a site set up of how it works.
type Habits struct {
	Zone   *time.Location
	Units  measure.UnitSystem // empty before the site is set up
	Shifts []inventory.Shift
	Stubs  inventory.StubTargets
}

// Habits returns how a site works. What it never set up is empty.
func (a *App) Habits(ctx context.Context) (h Habits, err error) {
	err = a.read(ctx, 0, func(v *view) error {
		h, err = v.habits()
		return err
	})
	return h, err
}

// habits reads the facts that set the site up: each says what it changes. Of a time
// before something was said first, that holds.
func (v *view) habits() (Habits, error) {
	h := Habits{Zone: v.zone, Units: v.settings.Units}
	facts, err := v.happened(0, Always, "site")
	if err != nil {
		return h, err
	}
	for _, f := range facts {
		e := f.Entry.(*inventory.SiteSet)
		later := v.app.again.until != 0 && f.Fact.At >= v.app.again.until
		if e.Shifts != "" && (!later || h.Shifts == nil) {
			if h.Shifts, err = inventory.ParseShifts(e.Shifts); err != nil {
				return h, err
			}
		}
		if e.Stubs != "" && (!later || h.Stubs.String() == "") {
			if h.Stubs, err = inventory.ParseStubTargets(e.Stubs); err != nil {
				return h, err
			}
		}
	}
	return h, nil
}

// Days returns the days of a site's clock that have any time from one instant
// up to another, as shifts from midnight to midnight: one may last 23 or 25
// hours.
func Days(from, to measure.Instant, zone *time.Location) []inventory.Duty {
	return inventory.Duties([]inventory.Shift{{}}, from, to, zone)
}
