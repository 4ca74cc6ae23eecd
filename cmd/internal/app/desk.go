package app

import (
	"errors"
	"fmt"
	"slices"

	"ovenward/inventory"
	"ovenward/inventory/ledger"
	"ovenward/inventory/measure"
	"ovenward/storage/moisture"
)

// desk is a view at which a fact is decided: it may be refused, completed with
// what the program assigns and judges, and commented with warnings.
type desk struct {
	*view
	head     ledger.Head // the ledger's newest end
	id       string      // of the fact to be recorded
	by       string
	noted    measure.Instant
	happened bool           // it has happened, and is being put right: rules only warn
	paper    bool           // it is brought in from paper: what a rule would have refused is flagged
	act      *inventory.Act // of the entry; nil: it is none
	warnings []string
	advice   *moisture.Advice // on rods that came back

	standIn *inventory.Refusal // of who records, which an override may lift; nil: may record
	asker   string             // who did what another granted an override for and recorded

	work work           // what an issue is for
	away inventory.Code // of the rule of a joint or a job that refused
}

func (d *desk) warn(format string, args ...any) {
	d.warnings = append(d.warnings, fmt.Sprintf(format, args...))
}

// ruled turns the refusal of a rule into a warning where the thing has happened
// already, and into a record where a person with authority overrides it.
func (d *desk) ruled(err error) error {
	ref, ok := errors.AsType[*inventory.Refusal](err)
	switch {
	case !ok:
		return err
	case d.paper:
		d.flag(ref.Code, "by the rules it would have been refused: %s: %s", ref.Subject, ref.Why)
		return nil
	case d.happened:
		d.warn("by the rules it would have been refused: %s: %s", ref.Subject, ref.Why)
		return nil
	case d.act == nil || d.act.Override == nil:
		return err
	}
	crew, err := d.crew(d.noted, d.by)
	if err != nil {
		return err
	}
	o, err := crew.Overruled(ref, *d.act.Override, d.by)
	if err != nil || slices.Contains(d.act.Overrode, o) {
		return err
	}
	d.act.Overrode = append(d.act.Overrode, o)
	d.warn("overridden by %s, asked for by %s (%s): %s: %s", d.by, d.act.Override.Proposer, d.act.Override.Why, ref.Subject, ref.Why)
	return nil
}

// needed warns of an override that nothing asked for: who gives one by habit
// does not look any more.
func (d *desk) needed() {
	if d.act != nil && d.act.Override != nil && len(d.act.Overrode) == 0 && !d.happened {
		d.flag(inventory.Duplicate, "an override was given and no rule refused anything")
	}
}

// decide checks an entry and fills in what it left to the program.
func (d *desk) decide(e inventory.Entry) error {
	switch e := e.(type) {
	case *inventory.SiteSet:
		return d.siteSet(e)
	case *inventory.PlaceSet:
		return d.placeSet(e)
	case *inventory.SensorSet:
		return d.sensorSet(e)
	case *inventory.Calibrated:
		return d.calibrated(e)
	case *inventory.ShutDown:
		return d.shutDown(e)
	case *inventory.OvenChecked:
		return d.ovenChecked(e)
	case *inventory.RulesApproved:
		return d.rulesApproved(e)
	case *inventory.RulesUsed:
		_, err := d.setByID(e.Rules)
		return err
	case *inventory.Received:
		return d.received(e)
	case *inventory.LotReleased:
		return d.lotReleased(e)
	case *inventory.HeldBack:
		return d.heldBack(e)
	case *inventory.Opened:
		return d.opened(e)
	case *inventory.Moved:
		return d.moved(e)
	case *inventory.Joined:
		return d.joined(e)
	case *inventory.Issued:
		return d.issued(e)
	case *inventory.Returned:
		return d.returned(e)
	case *inventory.Baked:
		return d.baked(e)
	case *inventory.WentWet:
		b, err := d.here(e.Bundle)
		e.Bundle = b.Code
		return err
	case *inventory.Scrapped:
		return d.scrapped(e)
	case *inventory.Counted:
		return d.counted(e)
	case *inventory.Covered:
		return d.covered(e)
	case *inventory.Extended:
		return d.extended(e)
	case *inventory.Blended:
		return d.blended(e)
	case *inventory.Reclaimed:
		return d.reclaimed(e)
	case *inventory.Decision:
		return d.decided(e)
	case *inventory.Settled:
		return d.settled(e)
	case *inventory.Proposed:
		return d.proposed(e)
	case *inventory.Noted:
		return d.seen(e)
	case *inventory.PersonSet:
		return d.personSet(e)
	case *inventory.HandedOver:
		return d.handedOver(e)
	case *inventory.JointSet:
		return d.jointSet(e)
	case *inventory.JobSet:
		return d.jobSet(e)
	case *inventory.CertificateSet:
		return d.certificateSet(e)
	case *inventory.DayClosed, *inventory.TurnedAway:
		return nil
	case *inventory.ClimateRead:
		return d.climateRead(e)
	case *inventory.TestReported:
		return d.testReported(e)
	}
	return fmt.Errorf("no way to decide a fact of kind %s", e.Kind())
}
