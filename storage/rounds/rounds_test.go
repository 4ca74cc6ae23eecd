package rounds_test

import (
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"ovenward/inventory/measure"
	"ovenward/storage/evidence"
	"ovenward/storage/rounds"
)

// hour is an instant so many hours after a start.
func hour(h int) measure.Instant {
	const start measure.Instant = 1_749_106_800_000_000
	return start.Add(measure.Duration(h) * measure.Hour)
}

func hours(hs ...int) []measure.Instant {
	out := make([]measure.Instant, len(hs))
	for i, h := range hs {
		out[i] = hour(h)
	}
	return out
}

// The expected rounds follow from the interval of eight hours, counted by hand.
func TestRoundsOfAShop(t *testing.T) {
	t.Parallel()
	done, late, missed := rounds.Done, rounds.Late, rounds.Missed
	cases := []struct {
		name string
		made []measure.Instant
		off  []evidence.Off
		want []rounds.Round
	}{
		{"all in time", hours(8, 16), nil, []rounds.Round{{hour(8), hour(8), done}, {hour(16), hour(16), done}}},
		{"one an hour late", hours(9, 17), nil, []rounds.Round{{hour(8), hour(9), late}, {hour(17), hour(17), done}}},
		{"none", nil, nil, []rounds.Round{{hour(8), 0, missed}, {hour(16), 0, missed}}},
		{"one left out", hours(8, 23), nil, []rounds.Round{{hour(8), hour(8), done}, {hour(16), hour(23), late}}},
		{"two left out", hours(20), nil, []rounds.Round{{hour(8), 0, missed}, {hour(16), hour(20), late}}},
		{"one before the time asked about counts", hours(-2, 6), nil,
			[]rounds.Round{{hour(6), hour(6), done}, {hour(14), 0, missed}, {hour(22), 0, missed}}},
		{"none is due during a shutdown", hours(8), []evidence.Off{{From: hour(10), To: hour(22)}},
			[]rounds.Round{{hour(8), hour(8), done}, {hour(22), 0, missed}}},
		{"a check during a shutdown counts", hours(8, 14), []evidence.Off{{From: hour(10), To: hour(20)}},
			[]rounds.Round{{hour(8), hour(8), done}, {hour(20), hour(14), done}, {hour(22), 0, missed}}},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			got := rounds.Of(8*measure.Hour, hour(0), hour(24), c.made, c.off)
			if diff := cmp.Diff(c.want, got); diff != "" {
				t.Errorf("rounds (-want +got):\n%s", diff)
			}
		})
	}
	if got := rounds.Of(0, hour(0), hour(24), nil, nil); got != nil {
		t.Errorf("no rule: %v, want none", got)
	}
}

// Every check that was made is in one round, and one is missing only where no
// check was made in the interval before it was due.
func TestEveryCheckIsInOneRound(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		every := rapid.IntRange(1, 12).Draw(t, "every")
		var made []measure.Instant
		at := 0
		for range rapid.IntRange(0, 12).Draw(t, "checks") {
			at += rapid.IntRange(1, 20).Draw(t, "hours")
			made = append(made, hour(at))
		}
		list := rounds.Of(measure.Duration(every)*measure.Hour, hour(0), hour(100), made, nil)
		var found []measure.Instant
		for _, r := range list {
			switch {
			case r.State == rounds.Missed && r.At != 0, r.State == rounds.Late && r.At <= r.Due,
				r.State == rounds.Done && r.At > r.Due:
				t.Fatalf("%s: due %s, made %s", r.State, r.Due, r.At)
			case r.At != 0:
				found = append(found, r.At)
			}
			if r.State == rounds.Missed && len(found) > 0 && r.Due.Sub(found[len(found)-1]) < measure.Duration(every)*measure.Hour {
				t.Fatalf("missed at %s, %s after a check", r.Due, r.Due.Sub(found[len(found)-1]))
			}
		}
		var want []measure.Instant
		for _, m := range made {
			if m < hour(100) {
				want = append(want, m)
			}
		}
		if diff := cmp.Diff(want, found); diff != "" {
			t.Fatalf("checks (-made +in rounds):\n%s", diff)
		}
	})
}
