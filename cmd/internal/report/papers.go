package report

import (
	"cmp"
	"fmt"
	"strings"

	"ovenward/cmd/internal/app"
	"ovenward/inventory"
	"ovenward/inventory/measure"
)

// paperColumns are those of the papers of lots.
func paperColumns() []Column {
	return []Column{{Name: "lot"}, {Name: "owner"}, {Name: "certificate"}, {Name: "kind"}, {Name: "results"}, {Name: "tested"},
		{Name: "test_age", Head: "days old at receipt", Of: Numbers}, {Name: "condition"}, {Name: "approvals", Of: Names}, {Name: "state"}}
}

// papers adds the papers of a lot, or says that it has none.
func (p *Part) papers(m *maker, x app.LotPapers) {
	if len(x.Papers) == 0 {
		p.add(word(x.Lot.Code), word(ownerOf(x.Lot)), Blank("NONE ON FILE"), orBlank(x.Lot.CertificateKind, ""), Blank(""), Blank(""), Blank(""), Blank(""),
			names(nil), word("lacking"))
	}
	for _, c := range x.Papers {
		state := "taken"
		if c.Rejected != "" {
			state = "REJECTED: " + c.Rejected
		}
		p.add(word(x.Lot.Code), word(ownerOf(x.Lot)), word(c.Number), orBlank(kindOf(x, c), "not stated"), word(c.Results()),
			orBlank(string(c.Tested), "not stated"), testAge(c, measure.DateOf(x.Received, m.zone)), word(conditionOf(c)), names(c.Approvals), word(state))
	}
}

// kindOf is the kind of a paper, in the words of the receipt where only that
// names it.
func kindOf(x app.LotPapers, c inventory.Paper) string {
	if c.ByReceipt {
		return cmp.Or(string(c.Kind), x.Lot.CertificateKind)
	}
	return string(c.Kind)
}

// testAge is how old a test was when the first of its lot came.
func testAge(c inventory.Paper, received measure.Date) Cell {
	if c.Tested == "" {
		return Blank("not known")
	}
	return number(daysBetween(c.Tested, received))
}

// conditionOf is in which condition the weld metal was tested.
func conditionOf(c inventory.Paper) string {
	if c.Heat > 0 {
		return fmt.Sprintf("%s for %s", c.Tests, c.Heat.Words())
	}
	return string(c.Tests)
}

// papersOf lists the papers of lots.
func (m *maker) papersOf(lots []app.LotPapers) Part {
	p := Part{Name: "papers", Title: "certificates and tests", Columns: paperColumns(), Empty: "there is no lot to have papers"}
	for _, x := range lots {
		p.papers(m, x)
	}
	return p
}

// papersBehind lists the papers of the lots of a trace, and what they are short
// of for the joint.
func (m *maker) papersBehind(t app.Trace) (Part, error) {
	p := Part{Name: "papers", Title: "certificates and tests", Columns: paperColumns(), Empty: "no lot stands behind it"}
	for _, l := range t.Lots {
		list, err := m.app.Papers(m.ctx, l.Code)
		if err != nil {
			return p, err
		}
		for _, x := range list {
			p.papers(m, x)
		}
	}
	for _, s := range t.Slips {
		for _, short := range s.Short {
			p.note("slip %s: %s", s.Slip.Code, short)
		}
	}
	return p, nil
}

// certificate names the papers of a lot that were taken, with their kind.
func (m *maker) certificate(l inventory.Lot) (string, error) {
	list, err := m.app.Papers(m.ctx, l.Code)
	if err != nil {
		return "", err
	}
	var all []string
	for _, x := range list {
		for _, c := range x.Papers {
			if c.Rejected == "" {
				all = append(all, strings.TrimSpace(c.Number+" "+kindOf(x, c)))
			}
		}
	}
	switch {
	case len(all) > 0:
		return commas(all), nil
	case l.CertificateKind != "":
		return l.CertificateKind + " without a reference", nil
	}
	return "NONE ON FILE", nil
}
