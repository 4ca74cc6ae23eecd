package app

import (
	"cmp"
	"errors"
	"fmt"
	"maps"
	"slices"

	"ovenward/inventory"
	"ovenward/inventory/ledger"
	"ovenward/inventory/ledgerdb"
	"ovenward/inventory/measure"
	"ovenward/inventory/stockdb"
	"ovenward/migrations/db"
)

// What the tables say of a lot is what its facts say in the order in which they
// happened, whatever the order in which they were entered. So an entry made
// late, and a correction, takes the lot back to its instant, is decided as
// things stood then, and lets the later facts follow again. One that makes a
// later fact impossible is refused.

// turn is a fact's place in the order of what happened; of two facts at one
// instant the one that was entered first comes first.
type turn struct {
	at  measure.Instant
	seq int64
}

func (t turn) compare(o turn) int { return cmp.Or(cmp.Compare(t.at, o.at), cmp.Compare(t.seq, o.seq)) }

func turnOf(f ledger.Fact) turn { return turn{f.At, f.Seq} }

// makeRoom prepares for a new entry: where a later fact bears on it, its lot
// is taken back to its instant. The later facts are returned, to be applied
// again after it; none where the entry can be decided as things stand.
func (d *desk) makeRoom(r *Request) ([]ledger.Fact, error) {
	if r.At >= d.head.Noted {
		return nil, nil // nothing is known of later
	}
	if e, ok := r.Entry.(*inventory.Issued); ok && e.Bundle == "" {
		if err := d.proposeTo(e); err != nil {
			return nil, err
		}
	}
	lots, err := d.lotsOf(r.Entry)
	if err != nil {
		return nil, err
	}
	if name := makes(r.Entry); name != "" {
		if _, err := d.assign(0, name); err != nil {
			return nil, err
		}
	}
	later, err := d.bearsOn(lots, r)
	if err != nil || !later {
		return nil, err
	}
	return d.rewind(lots, turn{r.At, d.head.Seq + 1}, 0, r.Entry)
}

// proposeTo chooses the bundle for a late issue that names none.
func (d *desk) proposeTo(e *inventory.Issued) error {
	if err := d.lookUp(e); err != nil {
		return err
	}
	set, err := d.set(e.Job)
	if err != nil {
		return err
	}
	said := len(d.warnings)
	b, _, err := d.propose(set, e)
	e.Bundle = b.Code
	d.warnings = d.warnings[:said] // it is decided again, and said then
	return d.turned(e, err)
}

// lotsOf returns the lots that an entry speaks of. The error is a
// *inventory.Refusal for a bundle that there is not, or was not yet.
func (d *desk) lotsOf(e inventory.Entry) (lots []string, err error) {
	if lot := ofLot(e); lot != "" {
		lots = append(lots, lot)
	}
	if r, ok := e.(*inventory.Returned); ok {
		s, err := d.slip(r.Slip)
		if err != nil {
			return nil, err
		}
		if err := d.afterIssue(s); err != nil {
			return nil, err
		}
	}
	for _, code := range takes(e) {
		if code == "" {
			continue
		}
		b, err := d.bundle(code)
		if err != nil {
			return nil, err
		}
		if err := d.born(b); err != nil {
			return nil, err
		}
		lots = append(lots, b.Lot)
	}
	slices.Sort(lots)
	return slices.Compact(lots), nil
}

// bearsOn reports whether a fact that happened after an entry has to do with
// it: it is of the same bundles, or says whether the lot may go out.
func (v *view) bearsOn(lots []string, r *Request) (bool, error) {
	mine, err := v.touches(r.Entry)
	if err != nil {
		return false, err
	}
	for _, lot := range lots {
		seqs, err := stockdb.FactsOfLotAfter(v.ctx, v.tx, v.site, lot, r.At)
		if err != nil {
			return false, err
		}
		for _, seq := range seqs {
			f, e, err := v.standing(seq)
			if err != nil {
				return false, err
			}
			if f.At <= r.At || e == nil {
				continue
			}
			whole := ofLot(e) != "" && (ofLot(r.Entry) != "" || (f.Kind != "receive" && f.Kind != "blend"))
			if whole || slices.ContainsFunc(names(e), func(n string) bool { return slices.Contains(mine, n) }) {
				return true, nil
			}
		}
	}
	return false, nil
}

// touches returns the bundles that an entry has to do with: those it names, the
// slips they are out on, and for a return whatever became of the slip's rods,
// because some of them may have been apart.
func (v *view) touches(e inventory.Entry) ([]string, error) {
	out := names(e)
	for _, code := range takes(e) {
		if code == "" {
			continue
		}
		b, err := v.bundle(code)
		if err != nil {
			return nil, err
		}
		if b.Slip != "" {
			out = append(out, b.Slip)
		}
		if _, ok := e.(*inventory.Returned); ok {
			family := map[string]inventory.Bundle{}
			if err := v.walk(b.Code, v.children, family); err != nil {
				return nil, err
			}
			out = slices.AppendSeq(out, maps.Keys(family))
		}
	}
	return out, nil
}

// names returns the bundles that an entry speaks of, as they are kept.
func names(e inventory.Entry) []string {
	var out []string
	for _, n := range append(slices.Clone(takes(e)), makes(e)) {
		if code, err := inventory.ParseCode(n); err == nil && code != "" {
			out = append(out, code)
		}
	}
	return out
}

// standing returns the fact with a number as it stands after all corrections,
// in its own place and with the name of the person who entered it first. The
// entry is nil where the fact was taken back.
func (v *view) standing(seq int64) (ledger.Fact, inventory.Entry, error) {
	page, err := ledgerdb.Page(v.ctx, v.facts(), v.site, seq-1, 1)
	if err != nil {
		return ledger.Fact{}, nil, err
	}
	f, err := v.newest(page[0])
	if err != nil {
		return f, nil, err
	}
	f.Seq, f.By = seq, page[0].By
	e, err := entryOf(f)
	return f, e, err
}

// newest returns the last correction of a fact, or itself.
func (v *view) newest(f ledger.Fact) (ledger.Fact, error) {
	for {
		next, ok, err := ledgerdb.SupersededBy(v.ctx, v.facts(), v.site, f.ID)
		if err != nil || !ok {
			return f, err
		}
		f = next
	}
}

// first returns the fact at the beginning of a chain of corrections.
func (v *view) first(f ledger.Fact) (ledger.Fact, error) {
	for f.Supersedes != "" {
		var err error
		if f, err = ledgerdb.ByID(v.ctx, v.facts(), v.site, f.Supersedes); err != nil {
			return f, err
		}
	}
	return f, nil
}

// entryOf reads a fact's body; nil for one that takes another back.
func entryOf(f ledger.Fact) (inventory.Entry, error) {
	e, err := inventory.DecodeEntry(f.Kind, f.Body)
	if _, void := e.(*inventory.Voided); void {
		e = nil
	}
	return e, err
}

// rewind takes lots back to a turn, as if what came later had not happened, nor
// the fact with the number without. Lots that share flux through blends go back
// together. It returns the later facts in their order.
func (v *view) rewind(lots []string, to turn, without int64, entry inventory.Entry) ([]ledger.Fact, error) {
	lots, err := stockdb.Blended(v.ctx, v.tx, v.site, lots)
	if err != nil {
		return nil, err
	}
	var facts []ledger.Fact
	known := map[int64]bool{} // a blend is a fact of several lots
	for _, lot := range lots {
		seqs, err := stockdb.FactsOfLot(v.ctx, v.tx, v.site, lot)
		if err != nil {
			return nil, err
		}
		for _, seq := range seqs {
			f, e, err := v.standing(seq)
			if err != nil {
				return nil, err
			}
			if e != nil && seq != without && !known[seq] {
				facts = append(facts, f)
			}
			known[seq] = true
		}
		if err := stockdb.ForgetLot(v.ctx, v.tx, v.site, lot); err != nil {
			return nil, err
		}
	}
	clear(v.lots)
	v.histories = nil
	slices.SortFunc(facts, func(a, b ledger.Fact) int { return turnOf(a).compare(turnOf(b)) })
	n, _ := slices.BinarySearchFunc(facts, to, func(f ledger.Fact, t turn) int { return turnOf(f).compare(t) })
	return facts[n:], v.again(facts[:n], to.at, entry)
}

// again applies facts after an entry was put among them, or taken out. The
// error is a *inventory.Refusal for a fact that cannot have happened then.
func (v *view) again(facts []ledger.Fact, at measure.Instant, entry inventory.Entry) (err error) {
	batch := stockdb.NewBatch(v.ctx, v.tx, v.site)
	defer func() { err = errors.Join(err, batch.Close()) }()
	for _, f := range facts {
		e, err := entryOf(f)
		if err == nil {
			err = batch.Apply(f, e)
		}
		if err != nil {
			return v.contradicts(f, at, entry, err)
		}
	}
	return nil
}

// contradicts is the refusal of an entry with which a recorded fact cannot have
// happened.
func (v *view) contradicts(f ledger.Fact, at measure.Instant, entry inventory.Entry, err error) error {
	why := "what it speaks of would not be there"
	switch ref, refused := errors.AsType[*inventory.Refusal](err); {
	case refused:
		why = ref.Subject + ": " + ref.Why
	case db.CheckFailed(err):
		why = "more would have gone out than there was"
	case !errors.Is(err, db.ErrNotFound):
		return err
	}
	then := f.At.In(v.zone)
	return &inventory.Refusal{Code: inventory.ImpossibleOrder, Subject: cmp.Or(append(names(entry), ofLot(entry))...),
		Value: at.In(v.zone), Limit: then,
		Why:  fmt.Sprintf("entered so, fact %d (%s at %s) cannot have happened: %s", f.Seq, f.Kind, then, why),
		Next: "check both times and both counts; correct the other fact first if that one is wrong: ovenward ledger correct " + f.ID}
}
