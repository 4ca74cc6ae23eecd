package alarm

import (
	"fmt"

	"ovenward/inventory/measure"
	"ovenward/storage/air"
	"ovenward/storage/exposure"
)

// Longer says what decided between a limit and the longer one of column B, with
// the values; empty where the rule set has none for the stock.
func (w Words) Longer(j exposure.Judgement) string {
	b := j.Longer
	if b == nil {
		return ""
	}
	if !b.Applies {
		s := "column A: " + b.Why
		if b.Since != 0 {
			s += ", from " + w.clock(b.Since, j.At)
		}
		return s
	}
	s := fmt.Sprintf("column B: %s by report %s, tested at %s", b.Limit.Words(), b.Report.Reference, w.Air(b.Report.Air))
	if b.Air.At != 0 {
		s += fmt.Sprintf("; air %s at %s", w.Air(b.Air.Air), w.clock(b.Air.At, j.At))
	}
	return s
}

// Air prints air in the unit that the site writes, with its moisture.
func (w Words) Air(a air.Air) string {
	if w.Units == measure.US {
		return fmt.Sprintf("%s, %s RH (%.0f gr/lb)", w.temp(a.Temp), a.RH, a.Grains())
	}
	return a.String()
}

// air is what was known of the air at an instant.
func (r *Rods) air(at measure.Instant) map[string]*air.Log {
	if len(r.Air) == 0 {
		return nil
	}
	known := make(map[string]*air.Log, len(r.Air))
	for place, log := range r.Air {
		known[place] = log.Known(at)
	}
	return known
}

// airTurns returns the instants between two at which the longer limit may end: a
// reading of the air, the end of the time for which one speaks, and the end of the
// report.
func (r *Rods) airTurns(from, to measure.Instant) []measure.Instant {
	if r.Report == nil {
		return nil
	}
	turns := []measure.Instant{r.Report.From, r.Report.Until}
	gap := r.Ruling.Air.MaxGap
	for _, log := range r.Air {
		for _, o := range log.Observations(from.Add(-gap), to) {
			turns = append(turns, o.At, o.At.Add(gap+measure.Microsecond))
		}
	}
	return turns
}
