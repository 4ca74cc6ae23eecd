package app

import (
	"context"
	"slices"

	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/inventory/stockdb"
	"ovenward/storage/exposure"
)

// QACase is a bundle that waits for QA, with the facts laid out.
type QACase struct {
	Look
	Why       string // why it is with QA
	Proposals []stockdb.Proposal
	Coldest   measure.Temperature // the lowest reading behind its exposure
	At        measure.Instant     // from when that reading counted
	Place     string
	Read      bool // whether there is one
	Would     []Would
	Marks     []Mark // checks of sensors that change what was judged, not decided about yet
}

// Would is what a disposition would make of a bundle.
type Would struct {
	Disposition string            `json:"disposition"`
	Verdict     inventory.Verdict `json:"verdict"`
	Why         string            `json:"why"`
}

// QACases returns what waits for QA at an instant: bundles that no rule decides,
// that QA holds, that rest on a sensor that was found wrong, or that somebody
// proposed something about; zero is now. The second result are proposals about
// lots as a whole.
func (a *App) QACases(ctx context.Context, at measure.Instant) (cases []QACase, lots []stockdb.Proposal, err error) {
	err = a.read(ctx, at, func(v *view) error {
		cases, lots, err = v.qaCases()
		return err
	})
	return cases, lots, err
}

func (v *view) qaCases() (cases []QACase, lots []stockdb.Proposal, err error) {
	waiting, err := stockdb.Waiting(v.ctx, v.tx, v.site)
	if err != nil {
		return nil, nil, err
	}
	of := map[string][]stockdb.Proposal{}
	for _, p := range waiting {
		if p.Bundle == "" {
			lots = append(lots, p)
			continue
		}
		of[p.Bundle] = append(of[p.Bundle], p)
	}
	live, err := stockdb.Live(v.ctx, v.tx, v.site)
	if err != nil {
		return nil, nil, err
	}
	if _, err := v.everything(); err != nil {
		return nil, nil, err
	}
	codes := make([]string, len(live))
	for i, b := range live {
		codes[i] = b.Code
	}
	marks, err := v.marks(codes, byBundle)
	if err != nil {
		return nil, nil, err
	}
	for _, b := range live {
		if b.Born > v.at {
			continue
		}
		c, ok, err := v.qaCase(b, of[b.Code], marks[b.Code])
		if err != nil {
			return nil, nil, err
		}
		if ok {
			cases = append(cases, c)
		}
	}
	return cases, lots, nil
}

// qaCase lays out the facts of a bundle; false for one that does not wait for
// QA.
func (v *view) qaCase(b inventory.Bundle, proposals []stockdb.Proposal, marks []Mark) (QACase, bool, error) {
	set, err := v.setFor(b, "")
	if err != nil {
		return QACase{}, false, err
	}
	l, err := v.look(set, b, true)
	if err != nil {
		return QACase{}, false, err
	}
	h, err := v.history(b)
	if err != nil {
		return QACase{}, false, err
	}
	c := QACase{Look: l, Proposals: proposals, Why: l.Judgement.Why, Marks: undecided(marks, h)}
	switch {
	case b.Hold != "":
		c.Why = "held: " + b.Hold
	case l.Lot.Status == inventory.Held:
		c.Why = "lot held: " + l.Lot.Reason
	case l.Judgement.Verdict != inventory.QAHold && len(proposals)+len(c.Marks) == 0:
		return c, false, nil
	}
	c.coldest()
	if set == nil || l.Judgement.Verdict == inventory.Unruled {
		return c, true, nil
	}
	for _, disposition := range ofBundle {
		then := *h
		then.Events = append(slices.Clone(h.Events), inventory.Event{At: v.at, Kind: inventory.Decided, Disposition: disposition})
		j, err := v.judge(set, b, &then, false)
		if err != nil {
			return c, false, err
		}
		c.Would = append(c.Would, Would{disposition, j.Verdict, j.Why})
	}
	return c, true, nil
}

// coldest finds the lowest reading since the package was opened.
func (c *QACase) coldest() {
	for _, p := range c.Judgement.Pieces {
		if p.Proven && p.Kind != exposure.Baking && (!c.Read || p.Low < c.Coldest) {
			c.Coldest, c.At, c.Place, c.Read = p.Low, p.From, p.Place, true
		}
	}
}
