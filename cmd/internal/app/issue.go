package app

import (
	"fmt"

	"ovenward/inventory"
	"ovenward/inventory/designation"
	"ovenward/inventory/measure"
	"ovenward/storage/exposure"
	"ovenward/storage/rules"
)

// issued decides whether rods may go out, and says until when.
func (d *desk) issued(e *inventory.Issued) error {
	e.Procedures = nil
	return d.turned(e, d.issue(e))
}

func (d *desk) issue(e *inventory.Issued) error {
	if e.Welder == "" {
		return &inventory.Refusal{Code: inventory.Unknown, Subject: "welder", Why: "rods go out to a person", Next: "give the welder's badge or stamp"}
	}
	if err := d.lookUp(e); err != nil {
		return err
	}
	set, err := d.set(e.Job)
	if err != nil {
		return err
	}
	if err := d.trained(set); err != nil {
		return err
	}
	if err := d.takes(set, e.Welder); err != nil {
		return err
	}
	if err := d.onTheCard(set, e); err != nil {
		return err
	}
	holder, err := d.holder(e)
	if err != nil {
		return err
	}
	b, j, err := d.choose(set, e)
	if err != nil {
		return err
	}
	e.Bundle = b.Code
	l, err := d.lot(b.Lot)
	if err != nil {
		return err
	}
	if err := d.carries(set, e, l, b, j); err != nil {
		return err
	}
	if err := d.stows(l, unsealed(b), stow{into: holder}); err != nil {
		return err
	}
	if err := d.forPractice(l, e); err != nil {
		return err
	}
	if e.Cold {
		if err := d.warmEnough(set, l, b, true); err != nil {
			return err
		}
	}
	d.dropTop(set, l, b, holder)
	if e.Slip, err = d.assign('S', e.Slip); err != nil {
		return err
	}
	return d.slipLimits(set, e, b, j, holder)
}

func (d *desk) holder(e *inventory.Issued) (inventory.Place, error) {
	if e.Holder == "" {
		e.Holder = string(inventory.OpenAir)
	}
	holder, err := d.place(e.Holder)
	if err == nil && !inventory.Afield(holder.Kind) {
		err = &inventory.Refusal{Code: inventory.Unknown, Subject: "holder", Value: holder.Name,
			Why:  fmt.Sprintf("%s is a %s: a welder carries rods in a quiver or in the open", holder.Name, holder.Kind),
			Next: "name a quiver, or leave the holder out"}
	}
	return holder, err
}

// choose returns the bundle to issue from, with its judgement: the one that was
// scanned, or the one that the program proposes for a class and size.
func (d *desk) choose(set *rules.Set, e *inventory.Issued) (inventory.Bundle, exposure.Judgement, error) {
	if e.Bundle == "" {
		return d.propose(set, e)
	}
	b, err := d.inCrib(e.Bundle)
	if err != nil {
		return b, exposure.Judgement{}, err
	}
	l, err := d.lot(b.Lot)
	if err != nil {
		return b, exposure.Judgement{}, err
	}
	if err := asAsked(l, e); err != nil {
		return b, exposure.Judgement{}, err
	}
	j, err := d.issuable(set, l, b)
	if err != nil {
		return b, j, err
	}
	return b, j, d.offering(set, l, b, d.amount(l, b, e))
}

// amount checks how much is asked for.
func (d *desk) amount(l inventory.Lot, b inventory.Bundle, e *inventory.Issued) error {
	if l.Counted() && e.Pieces == 0 {
		return &inventory.Refusal{Code: inventory.Unit, Subject: "pieces", Value: "0", Why: "no rods asked for", Next: "say how many rods"}
	}
	if !l.Counted() && e.Mass == "" {
		e.Mass = b.Mass.Exact()
	}
	_, err := d.part(l, b, &e.Pieces, &e.Mass)
	return err
}

// asAsked refuses a scanned bundle of another class or size than was asked for.
func asAsked(l inventory.Lot, e *inventory.Issued) error {
	if e.Class != "" {
		asked, err := designation.Parse(e.Class, "")
		if err != nil {
			return inventory.FieldRefusal("class", err)
		}
		if !inventory.Satisfies(asked, l.Mark) {
			return &inventory.Refusal{Code: inventory.WrongClass, Subject: e.Bundle, Value: l.Mark.Canonical, Limit: asked.Canonical,
				Why: fmt.Sprintf("it is %s, %s is asked for", l.Mark.Canonical, asked.Canonical), Next: "scan a bundle of the class asked for"}
		}
	}
	if e.Diameter == "" {
		return nil
	}
	size, err := measure.ParseLength(e.Diameter)
	if err != nil {
		return inventory.FieldRefusal("diameter", err)
	}
	if !l.Diameter.Near(size) {
		return &inventory.Refusal{Code: inventory.WrongSize, Subject: e.Bundle, Value: l.Size, Limit: e.Diameter,
			Why: fmt.Sprintf("it is %s, %s is asked for", l.Size, e.Diameter), Next: "scan a bundle of the size asked for"}
	}
	return nil
}

// issuable refuses stock that may not go out, whatever its amount.
func (d *desk) issuable(set *rules.Set, l inventory.Lot, b inventory.Bundle) (exposure.Judgement, error) {
	if err := d.ruled(d.atTheWindow(l, b)); err != nil {
		return exposure.Judgement{}, err
	}
	if l.Status == inventory.PracticeStock {
		return d.practiceJudgement(set), nil
	}
	if err := d.ruled(d.inputsReleased(l, b)); err != nil {
		return exposure.Judgement{}, err
	}
	if err := d.suits(set, l, b); err != nil {
		return exposure.Judgement{}, err
	}
	if err := d.ruled(d.inDate(set, l, b)); err != nil {
		return exposure.Judgement{}, err
	}
	if err := d.warmEnough(set, l, b, false); err != nil {
		return exposure.Judgement{}, err
	}
	j, err := d.judged(set, b)
	if err == nil && j.Kind == exposure.Baking {
		j, err = d.takenOut(set, b)
	}
	if err != nil {
		return j, err
	}
	if err := d.ruled(d.allowed(b, j)); err != nil {
		return j, err
	}
	return j, d.baseMetals(set, l, b)
}

// takenOut judges rods in a bake oven as they would be outside of it: a run
// ends when rods leave it.
func (d *desk) takenOut(set *rules.Set, b inventory.Bundle) (exposure.Judgement, error) {
	h, err := d.history(b)
	if err != nil {
		return exposure.Judgement{}, err
	}
	outside, _ := inventory.Reserved(string(inventory.OpenAir))
	rods := &inventory.History{Bundle: b.Code, Tight: h.Tight, Born: d.at,
		Origins: []inventory.Origin{{History: h, Until: d.at}}, Stays: []inventory.Stay{{Place: outside, From: d.at}}}
	return d.judge(set, b, rods, false)
}

// atTheWindow refuses what QA has hold of.
func (d *desk) atTheWindow(l inventory.Lot, b inventory.Bundle) error {
	switch {
	case l.Status == inventory.Awaiting:
		return &inventory.Refusal{Code: inventory.NotReleased, Subject: l.Code, Value: string(l.Status),
			Why: "QA has not released lot " + l.Code, Next: "offer another lot, or QA releases it: ovenward lot release " + l.Code}
	case l.Status == inventory.Held:
		return &inventory.Refusal{Code: inventory.OnHold, Subject: l.Code, Value: l.Reason,
			Why: "QA holds lot " + l.Code + ": " + l.Reason, Next: "offer another lot; QA decides on this one"}
	case b.Hold != "":
		return &inventory.Refusal{Code: inventory.OnHold, Subject: b.Code, Value: b.Hold,
			Why: "QA holds this bundle: " + b.Hold, Next: "offer another bundle; QA decides on this one"}
	}
	return nil
}

// allowed refuses what the verdict does not let out. The next step is always
// something the attendant can do.
func (d *desk) allowed(b inventory.Bundle, j exposure.Judgement) error {
	ref := &inventory.Refusal{Subject: b.Code, Why: j.Why, Rule: j.Ruling.Name(), Source: j.Ruling.Exposure.Source,
		Value: j.Most.String(), Limit: j.Limit.String()}
	switch j.Verdict {
	case inventory.Sealed, inventory.Ready:
		return nil
	case inventory.Unruled:
		return noRule(b, j)
	case inventory.Out:
		if !j.Owed {
			return nil
		}
		ref.Code, ref.Next = inventory.HoldNotComplete, "put it back into a holding oven and offer another bundle"
	case inventory.Hold:
		if j.Ruling.Clock.Policy == rules.Summed && j.Most <= j.Limit {
			return nil // the balance may be used
		}
		ref.Code, ref.Value, ref.Limit = inventory.HoldNotComplete, j.Hold.String(), j.Ruling.Hold.Duration.String()
		ref.Rule, ref.Source = j.Ruling.Set+"/"+j.Ruling.Hold.Row, j.Ruling.Hold.Source
		ref.Next = fmt.Sprintf("offer another bundle; this one is ready at %s if the oven stays in range", j.Ready.NextMinute().Clock(d.zone, d.at))
	case inventory.Bake:
		ref.Code, ref.Next = inventory.OverLimit, "bake it: ovenward bake "+b.Code+" --place OVEN --set TEMPERATURE"
		if j.Cabinet() {
			ref.Next = "put it into the cabinet: ovenward move " + b.Code + " --into CABINET"
		}
		if j.FirstBake {
			ref.Code, ref.Rule, ref.Source = inventory.FirstBake, j.Ruling.Set+"/"+j.Ruling.FirstUse.Row, j.Ruling.FirstUse.Source
		}
	case inventory.Discard:
		ref.Code, ref.Next = discardCode(j), "scrap it: ovenward scrap "+b.Code
		if ref.Code == inventory.BakesSpent {
			spentBy(ref, j)
		}
	default:
		ref.Code, ref.Next = inventory.OnHold, "offer another bundle; QA decides on this one: ovenward exposure "+b.Code
	}
	return ref
}

// spentBy names the row that lets rods be baked no more.
func spentBy(ref *inventory.Refusal, j exposure.Judgement) {
	l := j.Spent
	ref.Rule, ref.Source = j.Ruling.Set+"/"+l.Row, l.Source
	ref.Value, ref.Limit = fmt.Sprint(j.Bakes), fmt.Sprint(l.Max)
	if !l.Counted || l.Row != j.BakesBy {
		ref.Value, ref.Limit = j.Heated.String(), l.Total.String()
	}
}

func discardCode(j exposure.Judgement) inventory.Code {
	switch {
	case j.Wet:
		return inventory.Wet
	case j.Spent != nil && (j.Bakes > 0 || j.Heated > 0):
		return inventory.BakesSpent
	}
	return inventory.OverLimit // stock that no bake helps
}

// slipLimits judges the rods as they will be with the welder and writes the
// limit and the time they must be back on the slip.
func (d *desk) slipLimits(set *rules.Set, e *inventory.Issued, b inventory.Bundle, j exposure.Judgement, holder inventory.Place) error {
	h, err := d.history(b)
	if err != nil {
		return err
	}
	rods := &inventory.History{Bundle: e.Slip, Tight: h.Tight, Born: d.at,
		Origins: []inventory.Origin{{History: h, Until: d.at}},
		Stays:   []inventory.Stay{{Place: holder, From: d.at, Slip: e.Slip}}}
	out, err := d.judge(set, b, rods, false)
	if err != nil {
		return err
	}
	proposed := ""
	if e.Judged != nil {
		proposed = e.Judged.Proposed
	}
	e.Judged = record(j)
	e.Judged.Warn, e.Judged.Due, e.Judged.Proposed, e.Judged.Opened = out.Warn, out.Due, proposed, b.Sealed
	d.longer(e.Judged, out)
	if b.Sealed && (int64(e.Pieces) < b.Pieces) {
		d.warn("%s is opened by this: what is left in %s (%s) is exposed from now on; put it into a holding oven",
			b.Code, b.Place.Name, inventory.Rods(b.Pieces-int64(e.Pieces)))
	}
	return nil
}

// record is the judgement as it is stored beside the action that it led to.
func record(j exposure.Judgement) *inventory.Judged {
	r := j.Ruling
	out := &inventory.Judged{Rules: r.Set, Edition: r.Edition, Digest: r.Digest, Row: r.Exposure.Row, Source: r.Exposure.Source,
		Verdict: j.Verdict, Why: j.Why, Least: j.Least.String(), Most: j.Most.String(), Ready: j.Ready, Bakes: j.Bakes}
	if r.Clocked() {
		out.Limit = j.Limit.String()
	}
	return out
}
