package app

import (
	"context"
	"fmt"
	"maps"
	"slices"

	"ovenward/alerts/alarm"
	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/inventory/stockdb"
)

// Mark is what a check of a sensor means for rods that are here, or that went
// out: a judgement on them rested on a sensor that was found wrong, and QA has
// not decided about it.
type Mark struct {
	Sensor string              `json:"sensor"`
	Place  string              `json:"place"`
	Since  measure.Instant     `json:"since_us"` // the check before, from when it may have been wrong; zero: there was none
	Check  measure.Instant     `json:"checked_us"`
	Found  measure.Temperature `json:"-"` // shown above the true temperature
	Bundle string              `json:"bundle"`
	Slip   string              `json:"slip,omitempty"`
	Joints []string            `json:"joints,omitempty"` // that the slip names
	Act    Act                 `json:"act"`
	At     measure.Instant     `json:"at_us"`
	Was    inventory.Verdict   `json:"was"`
	Is     inventory.Verdict   `json:"is"`
	More   int                 `json:"more"` // other judgements on the same that come out differently
}

// marks returns a mark for each thing that a check casts doubt on, of its first
// judgement: what a thing is, and whether it counts at all, is what of says.
func (r Reach) marks(of func(Changed) (thing string, counts bool)) []Mark {
	var list []Mark
	first := map[string]int{}
	for _, c := range r.Changed {
		thing, counts := of(c)
		if !counts {
			continue
		}
		if i, known := first[thing]; known {
			list[i].More++
			continue
		}
		first[thing] = len(list)
		list = append(list, Mark{Sensor: r.Sensor.Name, Place: r.Sensor.Place, Since: r.Since, Check: r.Check.At, Found: r.Check.Found,
			Bundle: c.Bundle, Slip: c.Slip, Joints: c.Joints, Act: c.Act, At: c.At, Was: c.Was.Verdict, Is: c.Is.Verdict})
	}
	return list
}

// byBundle is the bundle that was judged.
func byBundle(c Changed) (string, bool) { return c.Bundle, true }

// withoutSlip is the bundle that was judged where it was, not on its way.
func withoutSlip(c Changed) (string, bool) { return c.Bundle, c.Slip == "" }

// marks returns, by bundle, the checks of sensors that change what was judged of
// it. A check that found what was known changes nothing.
func (v *view) marks(codes []string, of func(Changed) (thing string, counts bool)) (map[string][]Mark, error) {
	all := map[string][]Mark{}
	reaches, err := v.doubts(v.among(codes))
	for _, r := range reaches {
		for _, m := range r.marks(of) {
			all[m.Bundle] = append(all[m.Bundle], m)
		}
	}
	return all, err
}

// undecided leaves the marks of checks after which QA has not decided about the
// bundle.
func undecided(marks []Mark, h *inventory.History) []Mark {
	return slices.DeleteFunc(slices.Clone(marks), func(m Mark) bool { return decidedSince(h, m.Check) != 0 })
}

// decidedSince returns when QA decided about a bundle first after an instant;
// zero if it has not.
func decidedSince(h *inventory.History, at measure.Instant) measure.Instant {
	for _, e := range h.Events {
		if e.Kind == inventory.Decided && e.At >= at {
			return e.At
		}
	}
	return 0
}

// DoubtsOn returns what casts doubt, at an instant, on what was judged of a
// bundle or of the rods that are out on a slip, back to their package. Zero is
// now.
func (a *App) DoubtsOn(ctx context.Context, code string, at measure.Instant) (list []Mark, err error) {
	err = a.read(ctx, at, func(v *view) error {
		b, err := v.bundle(code)
		if err != nil {
			return err
		}
		list, err = v.doubtsOn(b)
		return err
	})
	return list, err
}

func (v *view) doubtsOn(b inventory.Bundle) ([]Mark, error) {
	before := map[string]inventory.Bundle{}
	if err := v.walk(b.Code, v.parents, before); err != nil {
		return nil, err
	}
	codes := slices.SortedFunc(maps.Keys(before), func(a, b string) int { return byBirth(before[a], before[b]) })
	reaches, err := v.doubts(v.among(codes))
	if err != nil {
		return nil, err
	}
	own, err := v.history(b)
	if err != nil {
		return nil, err
	}
	var list []Mark
	for _, r := range reaches {
		marks := r.marks(func(c Changed) (string, bool) { // of what it came from, only what was judged before it left
			return c.Bundle, c.Bundle == b.Code || c.Slip == b.Code || (c.Act != WentOut && c.At <= b.Born)
		})
		for _, m := range undecided(marks, own) {
			h, err := v.history(before[m.Bundle])
			if err != nil {
				return nil, err
			}
			list = append(list, undecided([]Mark{m}, h)...)
		}
	}
	return list, nil
}

// DoubtedJoints returns, by joint, what casts doubt on the rods that went into
// it.
func (a *App) DoubtedJoints(ctx context.Context, joints []string) (of map[string][]Mark, err error) {
	err = a.read(ctx, 0, func(v *view) error {
		of = map[string][]Mark{}
		var slips []inventory.Slip
		for _, j := range joints {
			more, err := stockdb.JointSlips(v.ctx, v.tx, v.site, j)
			if err != nil {
				return err
			}
			slips = append(slips, more...)
		}
		marks, err := v.doubtedSlips(slips)
		for _, m := range marks {
			for _, j := range m.Joints {
				of[j] = append(of[j], m)
			}
		}
		return err
	})
	return of, err
}

// doubtedSlips returns what casts doubt on the rods of some slips: as they went
// out, while they were out, and as they came back.
func (v *view) doubtedSlips(slips []inventory.Slip) ([]Mark, error) {
	asked, codes := map[string]bool{}, map[string]bool{}
	for _, s := range slips {
		asked[s.Code] = true
		back, err := v.children(s.Code)
		if err != nil {
			return nil, err
		}
		for _, code := range append(back, s.Code, s.Bundle) {
			codes[code] = true
		}
	}
	reaches, err := v.doubts(v.among(slices.Sorted(maps.Keys(codes))))
	var list []Mark
	for _, r := range reaches {
		list = append(list, r.marks(func(c Changed) (string, bool) { return c.Slip, asked[c.Slip] })...)
	}
	return list, err
}

// addDoubts adds what casts doubt on the bundles and slips of a trace.
func (v *view) addDoubts(t *Trace) error {
	slips := make([]inventory.Slip, len(t.Slips))
	codes := make([]string, len(t.Bundles))
	for i, s := range t.Slips {
		slips[i] = s.Slip
	}
	for i, b := range t.Bundles {
		codes[i] = b.Code
	}
	marks, err := v.marks(codes, withoutSlip)
	if err != nil {
		return err
	}
	for _, b := range t.Bundles {
		h, err := v.history(b)
		if err != nil {
			return err
		}
		t.Doubts = append(t.Doubts, undecided(marks[b.Code], h)...)
	}
	ofSlips, err := v.doubtedSlips(slips)
	t.Doubts = append(t.Doubts, ofSlips...)
	for _, m := range t.Doubts {
		t.Unknown = append(t.Unknown, m.subject()+": reading in doubt: "+m.Says(v.words()))
	}
	return err
}

// Doubted reports whether a bundle or a slip of a trace was judged by a sensor
// that was found wrong.
func (t Trace) Doubted(code string) bool {
	return slices.ContainsFunc(t.Doubts, func(m Mark) bool { return m.Slip == code || (m.Slip == "" && m.Bundle == code) })
}

// subject is what a mark is of.
func (m Mark) subject() string {
	if m.Slip == "" {
		return "bundle " + m.Bundle
	}
	return "slip " + m.Slip
}

// Says is a mark in words.
func (m Mark) Says(w alarm.Words) string {
	text := w.WasWrong(m.Sensor, m.Found, m.Since, m.Check)
	text += fmt.Sprintf("; judged at %s (%s): was %s, is %s", m.At.In(w.Zone), m.Act, m.Was, m.Is)
	if m.More > 0 {
		text += fmt.Sprintf("; %d more of it come out differently", m.More)
	}
	return text + "; all of them: ovenward oven affected " + m.Sensor
}
