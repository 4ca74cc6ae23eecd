package app

import (
	"context"
	"errors"
	"slices"

	"ovenward/inventory"
	"ovenward/inventory/jobdb"
	"ovenward/inventory/measure"
	"ovenward/inventory/stockdb"
	"ovenward/storage/rules"
)

// papers returns the certificates of a lot as they stood at the view's instant,
// and the one that its receipt named where nothing was entered of it since.
func (v *view) papers(l inventory.Lot) ([]inventory.Paper, error) {
	list, err := jobdb.Certificates(v.ctx, v.tx, v.site, l.Code, v.at)
	if err != nil {
		return nil, err
	}
	var out []inventory.Paper
	for _, c := range list {
		p, err := c.Entry.Read()
		if err != nil {
			return nil, err
		}
		out = append(out, p)
	}
	first, ok := inventory.ReceiptPaper(l)
	if ok && !slices.ContainsFunc(out, func(p inventory.Paper) bool { return p.Number == first.Number }) {
		out = append(out, first)
	}
	return out, nil
}

// papersSuit refuses a lot whose papers are not those that the rule set, the
// job and the joints ask for.
func (d *desk) papersSuit(set *rules.Set, l inventory.Lot, b inventory.Bundle) error {
	demands := append(set.Demands(subject(l, b)), d.work.demand)
	asks := slices.ContainsFunc(demands, func(n inventory.Demand) bool { return n.Asks() || n.MaxAge != inventory.Age{} })
	if !asks && len(d.work.joints) == 0 {
		return nil
	}
	papers, err := d.papers(l)
	if err != nil {
		return err
	}
	for _, n := range demands {
		if err := d.demanded(set, n, l, papers); err != nil {
			return err
		}
	}
	for _, j := range d.work.joints {
		if err := d.answered(rules.Refused, j.TakesTests(l, papers)); err != nil {
			return err
		}
	}
	return nil
}

func (d *desk) demanded(set *rules.Set, n inventory.Demand, l inventory.Lot, papers []inventory.Paper) error {
	if err := d.answered(rules.Refused, n.Refuse(l, papers)); err != nil || n.MaxAge == (inventory.Age{}) {
		return err
	}
	received, err := d.receivedOn(l)
	if err != nil {
		return err
	}
	return d.answered(set.Issue.TestAge, n.TooOld(l, papers, received))
}

// receivedOn returns the day on which the first of a lot came.
func (v *view) receivedOn(l inventory.Lot) (measure.Date, error) {
	at, err := stockdb.FirstReceived(v.ctx, v.tx, v.site, l.Code)
	return measure.DateOf(at, v.zone), err
}

// papersLetGo refuses to let a lot go out whose papers were all rejected, or are
// not those that the rule set asks for, and says which jobs it does not suit.
func (d *desk) papersLetGo(l inventory.Lot) error {
	papers, err := d.papers(l)
	if err != nil {
		return err
	}
	if err := d.answered(rules.Refused, rejected(l, papers)); err != nil {
		return err
	}
	set, err := d.setFor(inventory.Bundle{}, "")
	if err != nil {
		return err
	}
	if set != nil {
		for _, n := range set.Demands(subject(l, inventory.Bundle{})) {
			if err := d.demanded(set, n, l, papers); err != nil {
				return err
			}
		}
	}
	return d.suitsJobs(l, papers)
}

// rejected refuses a lot that has papers, of which none was taken.
func rejected(l inventory.Lot, papers []inventory.Paper) error {
	taken := func(p inventory.Paper) bool { return p.Rejected == "" }
	if len(papers) == 0 || slices.ContainsFunc(papers, taken) {
		return nil
	}
	return &inventory.Refusal{Code: inventory.CertificateCode, Subject: l.Code, Value: papers[0].Words(),
		Why:  "the papers of lot " + l.Code + " were rejected: " + papers[0].Words(),
		Next: "keep the lot apart until the maker sends the right paper: ovenward lot certificate add " + l.Code}
}

// suitsJobs warns of the jobs that the papers of a lot do not suit.
func (d *desk) suitsJobs(l inventory.Lot, papers []inventory.Paper) error {
	jobs, err := jobdb.Jobs(d.ctx, d.tx, d.site, d.at)
	if err != nil {
		return err
	}
	for _, j := range jobs {
		n, err := j.Entry.Demand()
		if err != nil {
			return err
		}
		if ref, short := errors.AsType[*inventory.Refusal](n.Refuse(l, papers)); short {
			d.warn("it will not go out for job %s: %s", j.Entry.Job, ref.Why)
		}
	}
	return nil
}

// LotPapers is a lot with its papers.
type LotPapers struct {
	Lot      inventory.Lot
	Received measure.Instant // of the first of it
	Papers   []inventory.Paper
	Left     bool // there is stock of it
}

// Awaiting reports whether stock of the lot is here without any paper that was
// taken.
func (p LotPapers) Awaiting() bool {
	return p.Left && !slices.ContainsFunc(p.Papers, func(p inventory.Paper) bool { return p.Rejected == "" })
}

// Papers returns the papers of one lot, or of every lot for an empty code.
func (a *App) Papers(ctx context.Context, code string) (out []LotPapers, err error) {
	err = a.read(ctx, 0, func(v *view) error {
		if code != "" {
			out, err = v.papersOfLots([]string{code})
			return err
		}
		lots, err := stockdb.Lots(v.ctx, v.tx, v.site)
		if err != nil {
			return err
		}
		out, err = v.lotPapers(lots)
		return err
	})
	return out, err
}

// PapersOf returns the papers of several lots, in the order of their codes.
func (a *App) PapersOf(ctx context.Context, codes []string) (out []LotPapers, err error) {
	err = a.read(ctx, 0, func(v *view) error {
		out, err = v.papersOfLots(slices.Sorted(slices.Values(codes)))
		return err
	})
	return out, err
}

func (v *view) papersOfLots(codes []string) ([]LotPapers, error) {
	lots := make([]inventory.Lot, len(codes))
	for i, code := range codes {
		l, err := v.lot(code)
		if err != nil {
			return nil, err
		}
		lots[i] = l
	}
	return v.lotPapers(lots)
}

func (v *view) lotPapers(lots []inventory.Lot) (out []LotPapers, err error) {
	live, err := stockdb.Live(v.ctx, v.tx, v.site)
	if err != nil {
		return nil, err
	}
	for _, l := range lots {
		p := LotPapers{Lot: l, Left: slices.ContainsFunc(live, func(b inventory.Bundle) bool { return b.Lot == l.Code })}
		if p.Papers, err = v.papers(l); err != nil {
			return nil, err
		}
		if p.Received, err = stockdb.FirstReceived(v.ctx, v.tx, v.site, l.Code); err != nil {
			return nil, err
		}
		out = append(out, p)
	}
	return out, nil
}
