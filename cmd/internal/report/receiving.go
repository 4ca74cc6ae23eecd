package report

import (
	"fmt"
	"maps"
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
		receipts, err := m.app.Happened(m.ctx, m.From, m.To, "receive")
		if err != nil {
			return nil, err
		}
		lots, err := m.lotsOfInterest(receipts)
		if err != nil {
			return nil, err
		}
		releases, err := m.app.Happened(m.ctx, earliest(lots), m.To, "release")
		if err != nil {
			return nil, err
		}
		return []Part{m.receipts(receipts), m.lotStatus(lots, releases), m.papersOf(lots)}, nil
	}}

// receipts is the register of what came in.
func (m *maker) receipts(facts []app.Recorded) Part {
	p := Part{Name: "receipts", Title: "received", Empty: "nothing was received " + m.period(), Columns: []Column{
		{Name: "when", Of: Instants}, {Name: "lot"}, {Name: "class"}, {Name: "size"}, {Name: "maker"}, {Name: "bundle"}, {Name: "amount"}, {Name: "owner"}, {Name: "package"},
		{Name: "seal"}, {Name: "certificate"}, {Name: "kind"}, {Name: "made"}, {Name: "expires"}, {Name: "into"}, {Name: "by"}}}
	for _, f := range facts {
		e := f.Entry.(*inventory.Received)
		seal := e.Seal
		if seal == "" {
			seal = string(inventory.Intact)
		}
		p.add(moment(f.Fact.At), word(e.Lot), word(e.Class), word(e.Diameter), word(e.Maker), word(e.Bundle), word(orText(e.Pieces, e.Mass)),
			orBlank(e.Owner, "own"), word(e.Package),
			word(seal), orBlank(e.Certificate, "none"), orBlank(e.CertificateKind, "not stated"), orBlank(e.Made, "not stated"), orBlank(e.Expires, "not stated"),
			word(e.Into), word(f.By()))
	}
	return p
}

// lotStatus lists every lot with what it lacks.
func (m *maker) lotStatus(lots []app.LotPapers, releases []app.Recorded) Part {
	p := Part{Name: "lots", Title: "lots in stock, and those received then", Empty: "nothing was in stock, and no lot came in, " + m.period(), Columns: []Column{
		{Name: "lot"}, {Name: "owner"}, {Name: "class"}, {Name: "size"}, {Name: "received", Of: Instants}, {Name: "status"}, {Name: "released", Of: Instants},
		{Name: "released_by"}, {Name: "waiting", Of: Spans}, {Name: "lacks"}}}
	lacking := 0
	for _, x := range lots {
		l, first := x.Lot, x.Received
		at, by := released(releases, l.Code)
		waiting := Cell(Blank(""))
		if l.Status == inventory.Awaiting {
			waiting = span(m.To.Sub(first))
		}
		lacks := lackOf(x)
		if len(lacks) > 0 {
			lacking++
		}
		p.add(word(l.Code), word(ownerOf(l)), word(l.Mark.Canonical), word(l.Size), moment(first), word(string(l.Status)+because(l.Reason)), momentOr(at, "not released"), orBlank(by, ""), waiting, orBlank(strings.Join(lacks, "; "), "nothing"))
	}
	p.note("%s, of which %s.", count(len(p.Rows), "lot"), lackingWords(lacking))
	return p
}

// lotsOfInterest are the lots that are in stock, and those of which some came in
// the time of the report.
func (m *maker) lotsOfInterest(receipts []app.Recorded) ([]app.LotPapers, error) {
	live, err := m.app.Live(m.ctx)
	if err != nil {
		return nil, err
	}
	codes := map[string]bool{}
	for _, b := range live {
		codes[b.Lot] = true
	}
	for _, f := range receipts {
		codes[f.Entry.(*inventory.Received).Lot] = true
	}
	all, err := m.app.PapersOf(m.ctx, slices.Collect(maps.Keys(codes)))
	return slices.DeleteFunc(all, func(x app.LotPapers) bool { return x.Received >= m.To }), err
}

// earliest is when the first of some lots came.
func earliest(lots []app.LotPapers) (first measure.Instant) {
	for i, x := range lots {
		if i == 0 || x.Received < first {
			first = x.Received
		}
	}
	return first
}

func lackingWords(n int) string {
	switch n {
	case 0:
		return "none lacks anything"
	case 1:
		return "1 lacks something"
	}
	return fmt.Sprintf("%d lack something", n)
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
func lackOf(x app.LotPapers) (lacks []string) {
	l := x.Lot
	switch l.Status {
	case inventory.PracticeStock:
		return nil // it needs no papers, and goes into no code job
	case inventory.Awaiting:
		lacks = append(lacks, "QA has not released it")
	case inventory.Held:
		lacks = append(lacks, "QA holds it")
	case inventory.Released:
	}
	taken := slices.DeleteFunc(slices.Clone(x.Papers), func(p inventory.Paper) bool { return p.Rejected != "" })
	switch {
	case len(x.Papers) == 0 && l.CertificateKind == "":
		lacks = append(lacks, "no certificate")
	case len(x.Papers) == 0:
		lacks = append(lacks, fmt.Sprintf("certificate %s without a reference", l.CertificateKind))
	case len(taken) == 0:
		lacks = append(lacks, "every certificate was rejected")
	case !slices.ContainsFunc(taken, func(p inventory.Paper) bool { return kindOf(x, p) != "" }):
		lacks = append(lacks, "the certificate's kind is not stated")
	}
	if l.Made == "" && l.Expires == "" {
		lacks = append(lacks, "neither date of manufacture nor expiry")
	}
	return lacks
}
