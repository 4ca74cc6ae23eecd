package report

import "ovenward/inventory/stockdb"

// noteColumns are those of what was seen of stock.
func noteColumns() []Column {
	return []Column{{Name: "at", Of: Instants}, {Name: "of"}, {Name: "lot"}, {Name: "what"}, {Name: "words"}, {Name: "seen_by"}, {Name: "against", Head: "speaks against the rods", Of: Flags}}
}

func (p *Part) seen(r stockdb.Remark) {
	p.add(moment(r.At), word(firstOf("slip", r.Slip, r.Bundle)), word(r.Lot), word(string(r.What)), word(r.Words), word(r.SeenBy), flag(r.What.Complaint()))
}

// notesOf lists what was seen of the rods of some stock.
func notesOf(list []stockdb.Remark, empty string) Part {
	p := Part{Name: "notes", Title: "what was seen of the rods", Columns: noteColumns(), Empty: empty}
	for _, r := range list {
		p.seen(r)
	}
	return p
}

// notesIn lists what was seen in the time of the report.
func (m *maker) notesIn() (Part, error) {
	p := Part{Name: "notes", Title: "what was seen", Columns: noteColumns(), Empty: "nothing was noted of any rods " + m.period()}
	list, err := m.app.RemarksIn(m.ctx, m.From, m.To)
	for _, r := range list {
		p.seen(r)
	}
	return p, err
}
