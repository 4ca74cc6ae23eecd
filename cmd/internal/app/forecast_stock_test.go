package app

import (
	"strings"
	"testing"

	"ovenward/inventory"
	"ovenward/inventory/measure"
)

// TestOnlyWhatMayGoOutCounts holds for every verdict and for QA's holds.
func TestOnlyWhatMayGoOutCounts(t *testing.T) {
	t.Parallel()
	const today measure.Date = "2025-06-05"
	for _, c := range []struct {
		name string
		set  func(l *Look)
		last measure.Date
		want string // in the reason; empty: it counts
	}{
		{name: "sealed", set: verdict(inventory.Sealed)},
		{name: "ready", set: verdict(inventory.Ready)},
		{name: "in hold", set: verdict(inventory.Hold)},
		{name: "to bake, which the rules allow", set: verdict(inventory.Bake)},
		{name: "on its last day", set: verdict(inventory.Ready), last: today},
		{name: "the day after it", set: verdict(inventory.Ready), last: today.AddDays(-1),
			want: "out of date since 2025-06-04"},
		{name: "in the open", set: verdict(inventory.Out), want: "in the open"},
		{name: "bakes spent", set: verdict(inventory.Discard), want: "to be scrapped: a reason"},
		{name: "no proof", set: verdict(inventory.QAHold), want: "QA decides: a reason"},
		{name: "no rule", set: verdict(inventory.Unruled), want: "a reason"},
		{name: "awaiting release", set: func(l *Look) { l.Lot.Status = inventory.Awaiting }, want: "awaits release"},
		{name: "lot held", set: func(l *Look) { l.Lot.Status, l.Lot.Reason = inventory.Held, "wrong label" },
			want: "held by QA: wrong label"},
		{name: "bundle held", set: func(l *Look) { l.Bundle.Hold = "dented can" }, want: "held by QA: dented can"},
	} {
		l := Look{Lot: inventory.Lot{Status: inventory.Released}}
		l.Judgement.Verdict, l.Judgement.Why = inventory.Sealed, "a reason"
		c.set(&l)
		got := uncounted(l, c.last, today)
		if (got == "") != (c.want == "") || !strings.Contains(got, c.want) {
			t.Errorf("%s: not counted because %q, want %q", c.name, got, c.want)
		}
	}
}

func verdict(v inventory.Verdict) func(*Look) { return func(l *Look) { l.Judgement.Verdict = v } }
