package demo

import (
	"fmt"
	"strings"

	"ovenward/alerts/alarm"
	"ovenward/cmd/internal/app"
	"ovenward/inventory/measure"
)

// planned are the joints of the next weeks, counted from the present one; the
// last cannot be computed, because nobody wrote its opening.
var planned = []struct {
	weeks int
	row   string
}{
	{1, "Barge 12,B12-001,%s,fillet,1/2 in,,,,,1/4 in,,,,20 ft,,,6,E7018,1/8 in,,,,,,,deck stiffeners"},
	{1, "Barge 12,B12-010,%s,single V,1 in,1/4 in,,45,3/8 in,,,1/8 in,,12 ft,,,3,E7018,1/8 in,,4,E7018,5/32 in,,rest,first four beads in 1/8"},
	{2, "Barge 12,B12-014,%s,single V,1 in,1/4 in,,45,3/8 in,,,1/8 in,,12 ft,,,3,E7018,1/8 in,,4,E7018,5/32 in,,rest,first four beads in 1/8"},
	{2, "Crane 4,C4-07,%s,fillet,5/8 in,,,,,5/16 in,,,,9 ft,,,8,E8018-C3,1/8 in,,,,,,,boom brackets"},
	{3, "Tank 3,T3-01,%s,square butt,3/16 in,1/16 in,,,yes,,,1/16 in,5/16 in,30 ft,,,2,E7018,1/8 in,,,,,,,roof seams"},
	{3, "Tank 3,T3-09,%s,single V,5/8 in,,,60,no,,,1/16 in,,6 ft,,,2,E7018,5/32 in,,,,,,,opening not on the drawing"},
}

const planHead = "job,joint,week,prep,thickness,opening,root_face,angle (deg),backing,leg,leg2,cap_height,cap_width,length," +
	"od,wall,quantity,item1,size1,share1,beads1,item2,size2,share2,beads2,notes\n"

// plan loads the joints of the next weeks.
func (s *shop) plan() {
	if s.err != nil {
		return
	}
	var file strings.Builder
	file.WriteString(planHead)
	for _, p := range planned {
		week := measure.WeekOf(measure.DateOf(s.now, s.zone).AddDays(7 * p.weeks))
		fmt.Fprintf(&file, p.row+"\n", week)
	}
	_, s.err = s.app.LoadPlan(s.ctx, app.PlanLoad{By: pia, Name: "planned joints", File: []byte(file.String())})
}

// look lets the watch see the shop once, as it would every minute. What was over
// before that is no news in this shop: the attendant has seen it.
func (s *shop) look() {
	if s.err != nil {
		return
	}
	if _, _, s.err = s.app.Watch(s.ctx, s.now); s.err != nil {
		return
	}
	list, _, err := s.app.Board(s.ctx, false)
	s.err = err
	for _, a := range list {
		if a.Status.State == alarm.Returned && s.err == nil {
			_, s.err = s.app.Handle(s.ctx, app.Handling{Tag: a.Tag(), Event: alarm.Ack, By: ines})
		}
	}
}
