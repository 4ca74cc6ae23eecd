package report

import (
	"fmt"
	"slices"
	"strings"

	"ovenward/cmd/internal/app"
	"ovenward/inventory"
	"ovenward/inventory/measure"
)

var receiving = Report{Name: "receiving", Title: "receiving and certificate status", Over: APeriod,
	Questions: []string{
		"What was received, in which package and seal, with which certificate, by whom?",
		"Which lots lack papers or have the wrong kind?",
		"Which lots await QA, and for how long?",
	},
	make: func(m *maker) ([]Part, error) {
		receipts, err := m.app.Happened(m.ctx, 0, m.To, "receive")
		if err != nil {
			return nil, err
		}
		releases, err := m.app.Happened(m.ctx, 0, m.To, "release")
		if err != nil {
			return nil, err
		}
		lots, err := m.app.Lots(m.ctx)
		if err != nil {
			return nil, err
		}
		return []Part{m.receipts(receipts), m.lotStatus(lots, receipts, releases)}, nil
	}}

// receipts is the register of what came in.
func (m *maker) receipts(facts []app.Recorded) Part {
	p := Part{Name: "receipts", Title: "received", Empty: "nothing was received " + m.period(), Columns: []Column{
		{Name: "when", Of: Instants}, {Name: "lot"}, {Name: "class"}, {Name: "size"}, {Name: "maker"}, {Name: "bundle"}, {Name: "amount"}, {Name: "package"},
		{Name: "seal"}, {Name: "certificate"}, {Name: "kind"}, {Name: "made"}, {Name: "expires"}, {Name: "into"}, {Name: "by"}}}
	for _, f := range facts {
		if f.Fact.At < m.From {
			continue
		}
		e := f.Entry.(*inventory.Received)
		seal := e.Seal
		if seal == "" {
			seal = string(inventory.Intact)
		}
		p.add(moment(f.Fact.At), word(e.Lot), word(e.Class), word(e.Diameter), word(e.Maker), word(e.Bundle), word(orText(e.Pieces, e.Mass)), word(e.Package),
			word(seal), orBlank(e.Certificate, "none"), orBlank(e.CertificateKind, "not stated"), orBlank(e.Made, "not stated"), orBlank(e.Expires, "not stated"),
			word(e.Into), word(f.By()))
	}
	return p
}

// lotStatus lists every lot with what it lacks.
func (m *maker) lotStatus(lots []inventory.Lot, receipts, releases []app.Recorded) Part {
	p := Part{Name: "lots", Title: "lots", Empty: "no lot was ever received by " + m.when(m.To), Columns: []Column{
		{Name: "lot"}, {Name: "class"}, {Name: "size"}, {Name: "received", Of: Instants}, {Name: "status"}, {Name: "released", Of: Instants},
		{Name: "released_by"}, {Name: "certificate"}, {Name: "kind"}, {Name: "waiting", Of: Spans}, {Name: "lacks"}}}
	lacking := 0
	for _, l := range lots {
		first, ok := firstReceipt(receipts, l.Code)
		if !ok {
			continue
		}
		at, by := released(releases, l.Code)
		waiting := Cell(Blank(""))
		if l.Status == inventory.Awaiting {
			waiting = span(m.To.Sub(first))
		}
		lacks := lackOf(l)
		if len(lacks) > 0 {
			lacking++
		}
		p.add(word(l.Code), word(l.Mark.Canonical), word(l.Size), moment(first), word(string(l.Status)+because(l.Reason)), momentOr(at, "not released"), orBlank(by, ""),
			orBlank(l.Certificate, "none"), orBlank(l.CertificateKind, "not stated"), waiting, orBlank(strings.Join(lacks, "; "), "nothing"))
	}
	p.note("%s, of which %d lack something.", count(len(p.Rows), "lot"), lacking)
	return p
}

func firstReceipt(receipts []app.Recorded, lot string) (measure.Instant, bool) {
	i := slices.IndexFunc(receipts, func(f app.Recorded) bool { return f.Entry.(*inventory.Received).Lot == lot })
	if i < 0 {
		return 0, false
	}
	return receipts[i].Fact.At, true
}

// released returns when a lot was last released and by whom.
func released(releases []app.Recorded, lot string) (at measure.Instant, by string) {
	for _, f := range releases {
		if f.Entry.(*inventory.LotReleased).Lot == lot {
			at, by = f.Fact.At, f.By()
		}
	}
	return at, by
}

// lackOf says what papers and decisions a lot lacks.
func lackOf(l inventory.Lot) (lacks []string) {
	switch l.Status {
	case inventory.PracticeStock:
		return nil // it needs no papers, and goes into no code job
	case inventory.Awaiting:
		lacks = append(lacks, "QA has not released it")
	case inventory.Held:
		lacks = append(lacks, "QA holds it")
	case inventory.Released:
	}
	switch {
	case l.Certificate == "" && l.CertificateKind == "":
		lacks = append(lacks, "no certificate")
	case l.Certificate == "":
		lacks = append(lacks, fmt.Sprintf("certificate %s without a reference", l.CertificateKind))
	case l.CertificateKind == "":
		lacks = append(lacks, "the certificate's kind is not stated")
	}
	if l.Made == "" && l.Expires == "" {
		lacks = append(lacks, "neither date of manufacture nor expiry")
	}
	return lacks
}
