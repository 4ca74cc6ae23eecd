package evidence

import "ovenward/inventory/measure"

// judging gathers the spans of a track's readings, one after the other.
type judging struct {
	band  Band
	gap   measure.Duration
	last  single // the reading before
	any   bool   // whether there is one
	now   Span   // still growing, if grows
	grows bool
	list  []Span
}

// single is what one reading shows by itself.
type single struct {
	at      measure.Instant
	finding Finding
	unfit   bool
}

// era judges readings of which one and the same is known. There are millions
// of them and most say what the one before said.
func (j *judging) era(readings []Reading, e era) {
	for i := range readings {
		r := &readings[i]
		s := single{r.At, j.band.finding(r.Temp-e.over, r.Temp-e.under), e.unfit}
		if j.any {
			j.pair(&s)
		}
		j.last, j.any = s, true
	}
}

// pair judges the stretch between the reading before and the next.
func (j *judging) pair(next *single) {
	finding, reason := Unproven, Gap
	switch {
	case next.at.Sub(j.last.at) > j.gap:
	case j.last.unfit || next.unfit:
		reason = CalibrationDue
	case j.last.finding == TooCold || next.finding == TooCold:
		finding, reason = TooCold, ""
	default:
		finding, reason = max(j.last.finding, next.finding), ""
	}
	if j.grows && finding == j.now.Finding && reason == j.now.Reason {
		return
	}
	j.close(Span{From: j.last.at, Finding: finding, Reason: reason})
}

// close ends the span that was growing where the next one begins.
func (j *judging) close(next Span) {
	if j.grows {
		j.now.To = next.From
		j.list = append(j.list, j.now)
	}
	j.now, j.grows = next, true
}

func (j *judging) end() []Span {
	j.close(Span{From: j.last.at})
	return j.list
}
