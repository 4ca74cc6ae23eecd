package report

import (
	"fmt"

	"ovenward/cmd/internal/app"
	"ovenward/inventory"
)

var recall = Report{Name: "recall", Title: "lot to joints", Of: "LOT", Over: Ever,
	Questions: []string{
		"Into which joints may rods of the lot have gone, by which welder, when?",
		"Where is the rest of it, and what is still out, with whom?",
		"Whose is it, with which papers, and what was noted of its rods?",
		"What is not known, and so is the list complete?",
	},
	make: func(m *maker) ([]Part, error) {
		t, err := m.app.Trace(m.ctx, m.Subject)
		if err != nil {
			return nil, err
		}
		if t.Of != "lot" {
			return nil, notA("lot", m.Subject, t.Of, "ovenward trace "+m.Subject)
		}
		what, err := m.whatItIs(t)
		if err != nil {
			return nil, err
		}
		notes := notesOf(t.Remarks, "nothing was noted of its rods")
		return []Part{what, usedIn(t), whereItIs(t), lost(t), notes, unknown(t)}, nil
	}}

// whatItIs says whose each lot is, and what its papers are.
func (m *maker) whatItIs(t app.Trace) (Part, error) {
	p := Part{Name: "lots", Title: "what it is", Columns: []Column{{Name: "lot"}, {Name: "owner"}, {Name: "class"}, {Name: "size"}, {Name: "maker"},
		{Name: "status"}, {Name: "papers"}}}
	for _, l := range t.Lots {
		papers, err := m.certificate(l)
		if err != nil {
			return p, err
		}
		p.add(word(l.Code), word(ownerOf(l)), word(l.Mark.Canonical), word(l.Size), word(l.Maker), word(string(l.Status)+because(l.Reason)), word(papers))
	}
	return p, nil
}

// usedIn lists every joint with each slip of the lot that names it, and the
// slips that name none.
func usedIn(t app.Trace) Part {
	p := Part{Name: "joints", Title: "where it went", Empty: "no rod of lot " + t.Code + " was issued", Columns: []Column{
		{Name: "joint"}, {Name: "slip"}, {Name: "welder"}, {Name: "job", Spare: 1}, {Name: "issued_by", Spare: 2}, {Name: "out", Of: Instants},
		{Name: "back", Of: Instants}, {Name: "issued"}, {Name: "used"}, {Name: "without_stub", Head: "no stub", Of: Numbers},
		{Name: "past_limit", Head: "out past the limit", Of: Spans}}}
	joints := map[string]bool{}
	gone := int64(0)
	for _, s := range t.Slips {
		gone += unaccounted(s.Slip)
		list := s.Slip.Joints
		if len(list) == 0 {
			list = []string{""}
		}
		for _, j := range list {
			if j != "" {
				joints[j] = true
			}
			p.add(jointCell(j), word(s.Slip.Code), word(s.Slip.Welder), word(s.Slip.Job), word(s.Slip.By), moment(s.Slip.At), momentOr(s.Slip.Closed, "still out"),
				amount(s.Slip.Pieces, s.Slip.Mass), used(s.Slip), number(unaccounted(s.Slip)), spanOr(s.Late, s.Late > 0, "no"))
		}
	}
	p.note("%s, %s with welder and time, %d rods unaccounted for. Scope: %s.", count(len(joints), "joint"), count(len(t.Slips), "slip"), gone, scope(t))
	return p
}

func jointCell(j string) Cell {
	if j == "" {
		return Blank("NONE NAMED")
	}
	return word(j)
}

// unaccounted is how many rods of a slip did not come back and left no stub:
// all of them while it is out.
func unaccounted(s inventory.Slip) int64 {
	if s.Closed == 0 {
		return s.Pieces - s.Back.Unused - s.Back.Damaged - s.Back.Unidentified - s.Back.Stubs
	}
	return max(0, s.Back.Unaccounted(s.Pieces))
}

func scope(t app.Trace) string {
	if len(t.Unknown) == 0 {
		return "closed"
	}
	return "NOT CLOSED, see what the records do not say"
}

// count prints a number with what it counts.
func count(n int, one string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %ss", n, one)
}

// whereItIs lists what is left of the lot, in the crib and out.
func whereItIs(t app.Trace) Part {
	p := Part{Name: "left", Title: "where the rest is", Empty: "nothing is left of lot " + t.Code, Columns: []Column{
		{Name: "bundle"}, {Name: "amount"}, {Name: "place"}, {Name: "welder"}, {Name: "since", Of: Instants}, {Name: "state"}}}
	welders := map[string]string{}
	for _, s := range t.Slips {
		welders[s.Slip.Code] = s.Slip.Welder
	}
	for _, b := range t.Bundles {
		if b.Empty() {
			continue
		}
		state := "opened"
		switch {
		case b.Slip != "":
			state = "OUT on slip " + b.Slip
		case b.Sealed:
			state = "sealed"
		}
		if b.Hold != "" {
			state += ", held: " + b.Hold
		}
		p.add(word(b.Code), amount(b.Pieces, b.Mass), word(b.Place.Name), word(welders[b.Slip]), moment(b.Born), word(state))
	}
	for _, l := range t.Lots {
		p.note("lot %s: %s%s", l.Code, l.Status, because(l.Reason))
	}
	return p
}

func because(why string) string {
	if why == "" {
		return ""
	}
	return ": " + why
}

// lost lists what of the lot was scrapped or found missing.
func lost(t app.Trace) Part {
	p := Part{Name: "losses", Title: "scrapped, or found missing", Empty: "nothing of lot " + t.Code + " was scrapped or found missing", Columns: []Column{
		{Name: "when", Of: Instants}, {Name: "what"}, {Name: "bundle"}, {Name: "amount"}, {Name: "why"}}}
	for _, l := range t.Losses {
		p.add(moment(l.At), word(l.Kind), word(l.Bundle), amount(l.Pieces, l.Mass), word(l.Reason))
	}
	return p
}
