package exposure_test

import (
	"fmt"
	"testing"

	"ovenward/inventory"
	"ovenward/storage/exposure"
)

func TestJoinInTheOvenKeepsTheHoldWithMoreToGo(t *testing.T) {
	t.Parallel()
	r := ruling(t, "reference-running", "E7018")
	a := fromOven().out("07:00", loose).back("10:00", h1) // 3:00 out
	b := fromOven().out("10:00", loose).back("11:00", h1) // 1:00 out
	both := mix("12:00", "B", a, b).in("12:00", h1)
	expect(t, steady().judge(r, both, "12:00"),
		want{verdict: inventory.Hold, most: "3:00", hold: "1:00", ready: "15:00"})
	expect(t, steady().judge(r, both, "15:00"), want{verdict: inventory.Ready, most: "0:00"})

	broken := mix("12:00", "B", a, b).in("12:00", h1).in("12:30", bench)
	// a: 3:00 and a hold of 2:30; b: 1:00 and 1:30
	expect(t, steady().judge(r, broken, "12:30"), want{verdict: inventory.Bake, most: "5:30"})
}

func TestJoinWithRodsAtRestAsksForTheOthersHold(t *testing.T) {
	t.Parallel()
	r := ruling(t, "reference-running", "E7018")
	a := fromOven()
	b := fromOven().out("07:00", loose).back("08:00", h1)
	both := mix("09:00", "B", a, b).in("09:00", h1)
	expect(t, steady().judge(r, both, "09:00"), want{verdict: inventory.Hold, most: "1:00", ready: "12:00"})
	rested := mix("13:00", "C", fromOven(), b).in("13:00", h1)
	expect(t, steady().judge(r, rested, "13:00"), want{verdict: inventory.Ready, most: "0:00", held: "12:00"})
}

// Three hours open and seven in a hot quiver are each within 4:00 open and
// 8:00 together; the worst of both is 3:00 open and 7:00 together.
func TestJoinComparesEachLimitByItself(t *testing.T) {
	t.Parallel()
	r := ruling(t, "reference-portable", "E7018")
	a := fromOven().out("11:00", loose)
	b := fromOven().out("07:00", q1)
	both := mix("14:00", "B", a, b).in("14:00", bench)
	got := steady().judge(r, both, "14:00")
	expect(t, got, want{verdict: inventory.Out, most: "3:00", due: "15:00"})
	if got.Portable != span("4:00") {
		t.Errorf("Portable = %s, want 4:00", got.Portable)
	}
}

func TestJoinCarriesBakesWetnessAndDecisions(t *testing.T) {
	t.Parallel()
	shop := withHolding(recipe(newOvens(), "2025-05-05"))
	plain := can().closed("2025-05-05 05:00", bench).in("2025-05-05 08:00", h1)
	r := ruling(t, "reference-running", "E7018")
	both := mix("2025-05-05 10:00", "B", plain, baked()).in("2025-05-05 10:00", h1)
	got := shop.judge(r, both, "2025-05-05 11:00")
	expect(t, got, want{verdict: inventory.Ready})
	if got.Bakes != 1 {
		t.Errorf("bakes %d, want the higher count 1", got.Bakes)
	}
	if got.EveryRod != 0 {
		t.Errorf("bakes of every rod %d, want none: one half was never baked", got.EveryRod)
	}
}

// What must be baked before use is not baked for lying among rods that were.
func TestEveryRodCountsTheBakesOfTheLeastBaked(t *testing.T) {
	t.Parallel()
	shop := withHolding(recipe(newOvens(), "2025-05-05"))
	r := ruling(t, "reference-running", "E7018")
	plain := can().closed("2025-05-05 05:00", bench).in("2025-05-05 08:00", h1)
	for name, c := range map[string]struct {
		rods []*rods
		want int64
	}{
		"baked alone":            {[]*rods{baked()}, 1},
		"baked with baked":       {[]*rods{baked(), baked()}, 1},
		"baked with plain":       {[]*rods{baked(), plain}, 0},
		"plain with baked":       {[]*rods{plain, baked()}, 0},
		"plain, baked and baked": {[]*rods{plain, baked(), baked()}, 0},
	} {
		both := mix("2025-05-05 10:00", "B", c.rods...).in("2025-05-05 10:00", h1)
		if got := shop.judge(r, both, "2025-05-05 11:00"); got.EveryRod != c.want {
			t.Errorf("%s: bakes of every rod %d, want %d", name, got.EveryRod, c.want)
		}
	}
}

func TestJoinedRodsOweWhatAnyOfThemOwes(t *testing.T) {
	t.Parallel()
	r := ruling(t, "reference-running", "E7018", "oven.excursion", "qa-hold", "hold.max_days", "2")
	shop := newOvens().read(h1, "2025-06-01 00:00", "2025-06-06 00:00", "30m", "130 C").
		read(h2, "2025-06-01 00:00", "2025-06-06 00:00", "30m", "110 C")
	stored := func() *rods { return can().closed("2025-06-05 00:00", bench).in("05:00", h1) }
	for name, c := range map[string]struct {
		bad  *rods
		want inventory.Verdict
	}{
		"wet":                 {stored().wet("06:00"), inventory.Discard},
		"discarded":           {stored().decided("06:00", "discard"), inventory.Discard},
		"to be baked":         {stored().decided("06:00", "bake"), inventory.Bake},
		"from a carton":       {carton().closed("2025-06-05 00:00", bench).in("05:00", h1), inventory.Bake},
		"were too cold":       {can().closed("2025-06-05 00:00", bench).in("05:00", h2), inventory.QAHold},
		"too long in holding": {can().in("2025-06-02 00:00", h1), inventory.QAHold},
		"back from a slip":    {stored().out("05:00", loose).back("06:00", h1), inventory.Hold},
	} {
		for order, all := range map[string][]*rods{"first": {c.bad, stored()}, "last": {stored(), c.bad}} {
			expect(t, shop.judge(r, c.bad, "07:00"), want{verdict: c.want})
			got := shop.judge(r, mix("07:00", "B", all...).in("07:00", h1), "07:00")
			if got.Verdict != c.want {
				t.Errorf("%s, %s: verdict %q (%s), want %q", name, order, got.Verdict, got.Why, c.want)
			}
		}
	}
}

func TestJoinedRodsAreDueWithTheFirstOfThem(t *testing.T) {
	t.Parallel()
	r := ruling(t, "reference-running", "E7018")
	a, b := fromOven().out("07:00", loose), fromOven().out("11:30", loose)
	for _, all := range [][]*rods{{a, b}, {b, a}} {
		both := mix("12:00", "B", all...).in("12:00", bench)
		expect(t, steady().judge(r, both, "12:00"),
			want{verdict: inventory.Bake, most: "5:00", warn: "10:12", due: "11:00"})
	}
}

func TestJoinedRodsHaveNoCreditThatOneOfThemLost(t *testing.T) {
	t.Parallel()
	r := ruling(t, "example-company", "E7018")
	lost, kept := fromOven().out("07:00", loose).out("07:10", q1), fromOven().out("07:00", q1)
	for _, all := range [][]*rods{{lost, kept}, {kept, lost}} {
		both := mix("08:00", "B", all...).out("08:00", q1)
		expect(t, steady().judge(r, both, "09:00"), want{verdict: inventory.Out, most: "2:00", due: "11:00"})
	}
}

// Rods that go out and come back into the same oven bundle every day double the
// paths back to the can each time. Each history is walked once all the same.
func TestPartingAndJoiningEveryDayStaysQuick(t *testing.T) {
	t.Parallel()
	r := ruling(t, "reference-running", "E7018")
	bundle := fromOven()
	start := clock("07:00")
	const rounds = 200
	for i := range rounds {
		out := start.Add(span(fmt.Sprintf("%dh", 6*i))).String()
		in := start.Add(span(fmt.Sprintf("%dh", 6*i+1))).String()
		slip := bundle.part(out, fmt.Sprintf("S%d", i)).out(out, loose)
		bundle = mix(in, fmt.Sprintf("B%d", i), bundle, slip).back(in, h1)
	}
	shop := newOvens().read(h1, "06:00", "2025-08-01 00:00", "30m", "130 C")
	end := start.Add(span(fmt.Sprintf("%dh", 6*(rounds-1)+1)))
	got := exposure.Explain(exposure.Facts{History: bundle.h, Places: shop.places(), Ruling: r}, end)
	expect(t, got, want{verdict: inventory.Hold, most: "1:00"})
	seen := map[string]bool{}
	for _, p := range got.Pieces {
		key := fmt.Sprint(p.Bundle, p.From)
		if seen[key] {
			t.Fatalf("piece of %s from %s stands twice", p.Bundle, p.From)
		}
		seen[key] = true
	}
}
