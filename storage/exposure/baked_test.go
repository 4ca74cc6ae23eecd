package exposure_test

import (
	"slices"
	"testing"

	"ovenward/inventory"
	"ovenward/storage/exposure"
	"ovenward/storage/rules"
)

// recipe is a valid bake by the A5.1 recipe of the reference rules and of
// D1.1/D1.1M:2015 5.3.2.4: half an hour at no more than half of 350 °C, then
// two hours at it. It lasts from 06:00 to 09:30 of a day.
func recipe(o *ovens, date string) *ovens {
	o.read(b1, date+" 06:00", date+" 06:40", "5m", "150 C")
	return o.read(b1, date+" 07:30", date+" 09:30", "5m", "350 C")
}

func baked() *rods {
	return can().closed("2025-05-05 05:00", bench).bake("2025-05-05 06:00", "350 C").in("2025-05-05 09:30", h1)
}

func withHolding(o *ovens) *ovens {
	return o.read(h1, "2025-05-05 06:00", "2025-05-09 06:00", "30m", "130 C")
}

func TestS17AndRow21SecondOverExposure(t *testing.T) {
	t.Parallel()
	shop := withHolding(recipe(newOvens(), "2025-05-05"))
	rods := baked().out("2025-05-07 07:00", loose).back("2025-05-07 12:00", h1)
	r := ruling(t, "reference-running", "E7018")
	expect(t, shop.judge(r, rods, "2025-05-07 07:00"), want{verdict: inventory.Out, most: "0:00"})
	got := shop.judge(r, rods, "2025-05-07 12:00")
	expect(t, got, want{verdict: inventory.Discard, most: "5:00"})
	if got.Bakes != 1 || got.BakesMax != 1 {
		t.Errorf("bakes %d of %d, want 1 of 1", got.Bakes, got.BakesMax)
	}
	three := shop.judge(ruling(t, "reference-running", "E7018", "bake.max", "3"), rods, "2025-05-07 12:00")
	expect(t, three, want{verdict: inventory.Bake, most: "5:00"})
	if three.Bakes != 1 || three.BakesMax != 3 {
		t.Errorf("bakes %d of %d, want 1 of 3", three.Bakes, three.BakesMax)
	}
}

func TestS24UnsealedCartonIsBakedFirst(t *testing.T) {
	t.Parallel()
	shop := recipe(newOvens(), "2025-03-04").read(h1, "2025-03-04 06:00", "2025-03-04 12:00", "30m", "130 C")
	rods := carton().closed("2025-03-03 09:00", bench).bake("2025-03-04 06:00", "350 C").
		in("2025-03-04 09:30", h1)
	for counts, bakes := range map[string]int64{"true": 1, "false": 0} {
		r := ruling(t, "reference-running", "E7018", "first_bake.counts", counts)
		expect(t, shop.judge(r, rods, "2025-03-04 05:59"), want{verdict: inventory.Bake, most: "0:00"})
		expect(t, shop.judge(r, rods, "2025-03-04 08:00"), want{verdict: inventory.Bake})
		got := shop.judge(r, rods, "2025-03-04 09:40")
		expect(t, got, want{verdict: inventory.Ready, most: "0:00"})
		if got.Bakes != bakes {
			t.Errorf("first_bake.counts = %s: bakes %d, want %d", counts, got.Bakes, bakes)
		}
	}
}

func TestRow22FirstBakeOfCartonStock(t *testing.T) {
	t.Parallel()
	shop := withHolding(recipe(newOvens(), "2025-05-05"))
	rods := carton().closed("2025-05-05 05:00", bench).bake("2025-05-05 06:00", "350 C").
		in("2025-05-05 09:30", h1).out("2025-05-05 10:00", loose).back("2025-05-05 15:00", h1)
	verdicts := map[string]inventory.Verdict{"true": inventory.Discard, "false": inventory.Bake}
	for counts, verdict := range verdicts {
		r := ruling(t, structural, "E7018", "first_bake.counts", counts)
		// 350 °C is inside 500 to 800 °F, 150 °C below half of 662 °F
		expect(t, shop.judge(r, rods, "2025-05-05 15:00"), want{verdict: verdict, most: "5:00"})
	}
}

func TestBakeOfRodsTakenOutInPartsIsValidForAll(t *testing.T) {
	t.Parallel()
	shop := withHolding(recipe(newOvens(), "2025-05-05"))
	load := can().closed("2025-05-05 05:00", bench).bake("2025-05-05 06:00", "350 C")
	first := load.part("2025-05-05 09:30", "R1").in("2025-05-05 09:30", h1)
	load.in("2025-05-05 09:40", h1)
	r := ruling(t, "reference-running", "E7018")
	for _, rods := range []*rods{first, load} {
		got := shop.judge(r, rods, "2025-05-05 10:00")
		expect(t, got, want{verdict: inventory.Ready, most: "0:00"})
		if got.Bakes != 1 {
			t.Errorf("%s: bakes %d, want 1", rods.h.Bundle, got.Bakes)
		}
	}
	early := load.part("2025-05-05 09:20", "R2").in("2025-05-05 09:20", h1)
	got := shop.judge(r, early, "2025-05-05 10:00")
	expect(t, got, want{verdict: inventory.Bake})
	if got.Bakes != 0 {
		t.Errorf("taken out ten minutes early: bakes %d, want 0", got.Bakes)
	}
}

func TestRodsSplitInTheBakeOvenGoOnInTheSameRun(t *testing.T) {
	t.Parallel()
	shop := withHolding(recipe(newOvens(), "2025-05-05"))
	load := can().closed("2025-05-05 05:00", bench).bake("2025-05-05 06:00", "350 C")
	part := load.part("2025-05-05 08:00", "R1").bake("2025-05-05 08:00", "350 C").in("2025-05-05 09:30", h1)
	got := shop.judge(ruling(t, "reference-running", "E7018"), part, "2025-05-05 10:00")
	expect(t, got, want{verdict: inventory.Ready, most: "0:00"})
	if got.Bakes != 1 {
		t.Errorf("bakes %d, want 1", got.Bakes)
	}
}

// Only a complete hold and a valid bake stop a running clock: the time of a
// bake that was none counts.
func TestTimeOfABakeThatWasNoneCounts(t *testing.T) {
	t.Parallel()
	shop := withHolding(recipe(newOvens(), "2025-05-05"))
	rods := can().closed("2025-05-05 04:00", bench).in("2025-05-05 05:00", bench).
		bake("2025-05-05 06:00", "350 C").in("2025-05-05 09:20", h1)
	running := ruling(t, "reference-running", "E7018")
	expect(t, shop.judge(running, rods, "2025-05-05 09:00"), want{verdict: inventory.Bake, most: "1:00"})
	expect(t, shop.judge(running, rods, "2025-05-05 09:20"), want{verdict: inventory.Bake, most: "4:20"})
	// summed: the minutes proven at 120 °C or more are not added
	summed := ruling(t, "reference-summed", "E7018")
	expect(t, shop.judge(summed, rods, "2025-05-05 09:20"), want{verdict: inventory.Bake, most: "1:00"})
}

func TestDoubtfulBakeIsForQA(t *testing.T) {
	t.Parallel()
	shop := withHolding(newOvens()).read(b1, "2025-05-05 06:00", "2025-05-05 06:40", "5m", "150 C").
		read(b1, "2025-05-05 07:30", "2025-05-05 09:30", "5m", "466 C") // S21: over 430 °C
	rods := can().closed("2025-05-05 05:00", bench).bake("2025-05-05 06:00", "430 C").in("2025-05-05 09:30", h1)
	r := ruling(t, "reference-running", "E7018")
	got := shop.judge(r, rods, "2025-05-05 10:00")
	expect(t, got, want{verdict: inventory.QAHold})
	if got.Bakes != 0 {
		t.Errorf("bakes %d, want 0: an over-temperature run is no valid bake", got.Bakes)
	}
	rods.decided("2025-05-05 11:00", "discard")
	expect(t, shop.judge(r, rods, "2025-05-05 11:00"), want{verdict: inventory.Discard})
}

func TestExplainShowsABakeAsOnePiece(t *testing.T) {
	t.Parallel()
	shop := withHolding(recipe(newOvens(), "2025-05-05"))
	r := ruling(t, "reference-running", "E7018")
	f := exposure.Facts{History: baked().h, Places: shop.places(), Ruling: r}
	got := exposure.Explain(f, clock("2025-05-05 10:00"))
	var kinds []exposure.Kind
	for _, p := range got.Pieces {
		kinds = append(kinds, p.Kind)
	}
	if want := []exposure.Kind{exposure.Sealed, exposure.Baking, exposure.Kept}; !slices.Equal(kinds, want) {
		t.Errorf("pieces %v, want %v", kinds, want)
	}
}

func TestStockWithoutARecipeIsDiscardedOverItsLimit(t *testing.T) {
	t.Parallel()
	r := ruling(t, "reference-running", "E7018")
	r.Recipe = rules.Recipe{}
	rods := fromOven().out("07:00", loose)
	expect(t, steady().judge(r, rods, "11:00:01"), want{verdict: inventory.Discard})
}

func TestDoubtfulRodsHoldNoMore(t *testing.T) {
	t.Parallel()
	shop := withHolding(newOvens()).
		read(b1, "2025-05-05 06:00", "2025-05-05 06:30", "5m", "350 C") // no pre-soak
	rods := can().closed("2025-05-05 04:00", bench).in("2025-05-05 05:00", bench).
		bake("2025-05-05 06:00", "350 C").in("2025-05-05 06:30", h1)
	r := ruling(t, "reference-running", "E7018")
	expect(t, shop.judge(r, rods, "2025-05-05 08:00"), want{verdict: inventory.QAHold, most: "3:00"})
}

func TestBakeTakesNothingBackThatQAHasToDecide(t *testing.T) {
	t.Parallel()
	shop := withHolding(recipe(newOvens(), "2025-05-06")).
		read(h2, "2025-05-05 06:00", "2025-05-05 20:00", "30m", "110 C")
	r := ruling(t, "reference-running", "E7018", "oven.excursion", "qa-hold")
	cold := can().closed("2025-05-05 06:00", bench).in("2025-05-05 07:00", h2).
		bake("2025-05-06 06:00", "350 C").in("2025-05-06 09:30", h1)
	expect(t, shop.judge(r, cold, "2025-05-06 10:00"), want{verdict: inventory.QAHold, most: "0:00"})
	cold.decided("2025-05-06 11:00", "bake")
	expect(t, shop.judge(r, cold, "2025-05-06 11:00"),
		want{verdict: inventory.Discard}) // baked once, and once is allowed
	gone := can().closed("2025-05-05 06:00", bench).decided("2025-05-05 07:00", "discard").
		bake("2025-05-06 06:00", "350 C").in("2025-05-06 09:30", h1)
	expect(t, shop.judge(r, gone, "2025-05-06 10:00"), want{verdict: inventory.Discard})
}

func TestRodsPutBackIntoTheBakeOvenBeginARunOfTheirOwn(t *testing.T) {
	t.Parallel()
	shop := withHolding(recipe(newOvens(), "2025-05-05"))
	r := ruling(t, "reference-running", "E7018")
	load := can().closed("2025-05-05 05:00", bench).bake("2025-05-05 06:00", "350 C")
	again := load.part("2025-05-05 07:00", "R1").bake("2025-05-05 07:10", "350 C").in("2025-05-05 09:30", h1)
	got := shop.judge(r, again, "2025-05-05 10:00")
	if got.Bakes != 0 {
		t.Errorf("bakes %d, want 0: neither run was a bake by itself", got.Bakes)
	}
	b2 := inventory.Place{Name: "B2", Kind: inventory.BakeOven}
	elsewhere := can().closed("2025-05-05 05:00", bench)
	elsewhere.stay(inventory.Stay{Place: b2, From: clock("2025-05-05 06:00"), Bake: load.h.Stays[1].Bake})
	both := mix("2025-05-05 07:00", "B", load, elsewhere).bake("2025-05-05 07:00", "350 C").
		in("2025-05-05 09:30", h1)
	if got := shop.judge(r, both, "2025-05-05 10:00"); got.Bakes != 0 {
		t.Errorf("joined from two ovens: bakes %d, want 0", got.Bakes)
	}
}
