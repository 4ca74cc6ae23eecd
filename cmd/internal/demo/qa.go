package demo

import (
	"ovenward/inventory"
	"ovenward/inventory/measure"
)

// doorOpen: an oven stood open at the change of shift. Two of its bundles are
// stopped and proposed about; QA approves one, the other waits.
func (s *shop) doorOpen(at measure.Instant) {
	s.built.QADay = measure.DateOf(at, s.zone)
	s.diary.add(at, func() {
		var stopped []string
		for _, l := range s.stock(at) {
			ready := l.Judgement.Verdict == inventory.Ready && l.Lot.Status == inventory.Released
			if len(stopped) < 2 && ready && l.Bundle.Place.Name == "H2" {
				stopped = append(stopped, l.Bundle.Code)
			}
		}
		for i, bundle := range stopped {
			minute := at.Add(measure.Duration(1+4*i) * measure.Minute)
			s.do(minute, ines, &inventory.HeldBack{Bundle: bundle, Why: "the door of H2 stood open"})
			p := s.do(minute.Add(measure.Minute), ines, &inventory.Proposed{Bundle: bundle, Disposition: "release",
				Why: "the logger shows no fall", Evidence: &inventory.Reference{Reference: "log of T-H2"}}).(*inventory.Proposed)
			s.built.Proposal = p.Proposal
			if i > 0 {
				return
			}
			s.try(minute.Add(2*measure.Minute), ines, &inventory.Decision{Proposal: p.Proposal})
			s.do(minute.Add(3*measure.Minute), ruth, &inventory.Decision{Proposal: p.Proposal})
			s.tell(at, "the door of H2 stood open: %s stopped %s and proposed to release it, might not do so herself, and %s of QA did", ines, bundle, ruth)
		}
	})
}

// earlyIssue: a lot whose paper is not here yet is wanted. The window refuses
// it, the attendant asks, and QA allows one issue by name.
func (s *shop) earlyIssue(at measure.Instant) {
	s.diary.add(at, func() {
		s.receive(at, "7B90", eighth, 1)
		cans := s.cans[eighth.name]
		if len(cans) == 0 {
			return
		}
		can := cans[len(cans)-1]
		ask := inventory.Issued{Bundle: can, Pieces: 16, Welder: "W3", Joints: []string{s.nextJoint()}}
		granted := ask
		s.try(at.Add(2*measure.Minute), ines, &ask)
		granted.Override = &inventory.Override{Why: "the maker sent a scan of the certificate", Proposer: ines}
		e := s.do(at.Add(6*measure.Minute), oskar, &granted)
		s.given(at.Add(6*measure.Minute), eighth, e.(*inventory.Issued))
		s.tell(at, "lot 7B90 came without its paper and was refused; %s asked, and %s of QA allowed 16 rods of it by name", ines, oskar)
		s.do(at.Add(20*measure.Minute), ruth, &inventory.LotReleased{Lot: "7B90", Note: "certificate and labels compared"})
	})
}
