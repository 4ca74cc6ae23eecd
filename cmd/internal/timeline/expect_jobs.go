package timeline

import (
	"fmt"
	"strings"

	"ovenward/cmd/internal/app"
	"ovenward/inventory"
	"ovenward/inventory/measure"
)

// traceFields are what a trace came to: its scope, and how much of it is open.
func traceFields(t app.Trace) map[string]string {
	joints := map[string]bool{}
	for _, s := range t.Slips {
		for _, j := range s.Slip.Joints {
			joints[j] = true
		}
	}
	return map[string]string{
		"closed": fmt.Sprint(len(t.Unknown) == 0), "joints": fmt.Sprint(len(joints)), "slips": fmt.Sprint(len(t.Slips)),
		"unaccounted": fmt.Sprint(t.Unaccounted()), says: strings.Join(t.Unknown, "; "),
	}
}

// flagCodes are the codes of rules that only warned.
func flagCodes(flags []inventory.Flag) string {
	var codes []string
	for _, f := range flags {
		if f.Code != "" {
			codes = append(codes, string(f.Code))
		}
	}
	if len(codes) == 0 {
		return none
	}
	return strings.Join(codes, " ")
}

// turnedAway are the refusals that a welder met by an instant, with who refused.
func (r *replay) turnedAway(welder string, at measure.Instant) (map[string]string, error) {
	list, err := r.app.TurnedAway(r.ctx, 0, at)
	var codes, said []string
	for _, t := range list {
		if t.Entry.Welder == welder {
			codes = append(codes, string(t.Entry.Code))
			said = append(said, t.By+": "+t.Entry.Why)
		}
	}
	return map[string]string{"refusals": strings.Join(codes, " "), says: strings.Join(said, "; ")}, err
}
