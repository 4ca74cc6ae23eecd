package app

import (
	"fmt"

	"ovenward/inventory"
	"ovenward/storage/exposure"
	"ovenward/storage/rules"
)

// practiceRuling is what every rule set says of practice stock: no clock runs
// for it.
func practiceRuling(set *rules.Set) rules.Ruling {
	return rules.Ruling{Set: set.ID, Edition: set.Edition, Digest: set.Digest, Exposure: rules.ExposureRow{Clock: rules.NoClock,
		Meta: rules.Meta{Row: inventory.Practice, Source: "practice stock, under no exposure control"}}}
}

func (v *view) practiceJudgement(set *rules.Set) exposure.Judgement {
	r := practiceRuling(set)
	return exposure.Judgement{At: v.at, Verdict: inventory.Ready, Why: r.Exposure.Source, Ruling: r}
}

// forPractice refuses practice stock for a code job. What goes to a joint or to
// a job is work that someone answers for.
func (d *desk) forPractice(l inventory.Lot, e *inventory.Issued) error {
	if l.Status != inventory.PracticeStock || (e.Job == "" && len(e.Joints) == 0) {
		return nil
	}
	what := e.Job
	if what == "" {
		what = e.Joints[0]
	}
	return d.ruled(&inventory.Refusal{Code: inventory.NotReleased, Subject: l.Code, Value: what,
		Why:  fmt.Sprintf("lot %s is practice stock and %s is a job", l.Code, what),
		Next: "offer a released lot; practice stock goes out without a job and without joints"})
}

// keptApart refuses practice stock in an oven, where it would lie beside stock
// that is controlled.
func (d *desk) keptApart(l inventory.Lot, into inventory.Place) error {
	if l.Status != inventory.PracticeStock || (into.Kind != inventory.HoldingOven && into.Kind != inventory.BakeOven) {
		return nil
	}
	return d.ruled(&inventory.Refusal{Code: inventory.CoStorage, Subject: into.Name, Value: l.Code,
		Why: fmt.Sprintf("lot %s is practice stock: it is kept apart from controlled stock", l.Code), Next: "keep it on a shelf of its own"})
}

// lotReleased decides whether QA may let a lot go out.
func (d *desk) lotReleased(e *inventory.LotReleased) error {
	l, err := d.lot(e.Lot)
	if err != nil {
		return err
	}
	if l.Status == inventory.PracticeStock {
		return &inventory.Refusal{Code: inventory.NotReleased, Subject: l.Code, Value: string(l.Status),
			Why: "practice stock is under no exposure control and never becomes controlled stock", Next: "receive new stock for code work"}
	}
	if l.Existing() {
		if err := seen(l, e); err != nil {
			return err
		}
	}
	return d.papersLetGo(l)
}

// seen refuses the release of a lot that was found at the first stock-take
// unless QA says what speaks for it: its label, its certificate and the state of
// its package.
func seen(l inventory.Lot, e *inventory.LotReleased) error {
	for _, f := range []struct{ name, value string }{
		{"label", e.Label}, {"certificate", e.Certificate + l.Certificate}, {"package", e.Package},
	} {
		if f.value == "" {
			return &inventory.Refusal{Code: inventory.CertificateCode, Subject: l.Code, Value: f.name,
				Why: fmt.Sprintf("lot %s was found at the first stock-take, and nothing is said of its %s", l.Code, f.name),
				Next: "release it with what was seen: ovenward lot release " + l.Code +
					" --label WHAT --certificate NUMBER --package STATE; without them it is scrap"}
		}
	}
	return nil
}

// sameStanding refuses a receipt that would change what a lot is: practice stock
// never becomes controlled stock, and stock in the books is not found again.
func (d *desk) sameStanding(have, l inventory.Lot, e *inventory.Received) error {
	ref := &inventory.Refusal{Code: inventory.Duplicate, Subject: l.Code, Value: string(l.Status), Limit: string(have.Status)}
	switch {
	case (have.Status == inventory.PracticeStock) != (l.Status == inventory.PracticeStock):
		ref.Why = fmt.Sprintf("the lot is here as %s, and would come in as %s", have.Status, l.Status)
		ref.Next = "receive it under a lot number of its own: practice stock and controlled stock are never one"
	case e.Existing && l.Status != inventory.PracticeStock && !have.Existing():
		ref.Why = fmt.Sprintf("the lot is in the books, %s", have.Status)
		ref.Next = "count its bundles instead: ovenward count BUNDLE --pieces NUMBER"
	default:
		return nil
	}
	return ref
}
