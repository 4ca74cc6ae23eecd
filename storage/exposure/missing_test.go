package exposure_test

import (
	"testing"

	"github.com/google/go-cmp/cmp"

	"ovenward/inventory"
	"ovenward/storage/exposure"
)

func TestLastReadingSpeaksUntilTheNextIsOverdue(t *testing.T) {
	t.Parallel()
	r := ruling(t, "reference-running", "E7018") // readings at most 60 min apart
	shop := newOvens().read(h1, "06:00", "08:00", "30m", "130 C")
	rods := can().closed("06:00", bench).in("06:30", h1)
	expect(t, shop.judge(r, rods, "09:00"), want{verdict: inventory.Ready, most: "0:00"})
	got := shop.judge(r, rods, "09:00:01")
	expect(t, got, want{verdict: inventory.QAHold, most: "1:00:01", least: "0:00", due: "12:00"})
	if got.Kind != exposure.Open {
		t.Errorf("Kind = %s, want unproven time taken as open", got.Kind)
	}
}

func TestRodsThatLeftBeforeTheNextReadingWasOverdueAreProven(t *testing.T) {
	t.Parallel()
	r := ruling(t, "reference-running", "E7018")
	shop := newOvens().read(h1, "06:00", "08:00", "30m", "130 C")
	left := can().closed("06:00", bench).in("06:30", h1).out("08:45", loose)
	expect(t, shop.judge(r, left, "11:00"), want{verdict: inventory.Out, most: "2:15", due: "12:45"})
	late := can().closed("06:00", bench).in("06:30", h1).out("09:15", loose)
	expect(t, shop.judge(r, late, "11:00"),
		want{verdict: inventory.Out, most: "3:00", least: "1:45", due: "12:00"})
	// a first reading on Monday changes nothing for rods that left on time
	shop.once(h1, "2025-06-09 06:00", "40 C")
	expect(t, shop.judge(r, left, "11:00"), want{verdict: inventory.Out, most: "2:15"})
	expect(t, shop.judge(r, late, "11:00"), want{verdict: inventory.Out, most: "3:00", least: "1:45"})
}

func TestEventInTheOvenDoesNotChangeWhatTheReadingsProve(t *testing.T) {
	t.Parallel()
	r := ruling(t, "reference-running", "E7018")
	shop := newOvens().read(h1, "06:00", "08:00", "30m", "130 C")
	plain := can().closed("06:00", bench).in("06:30", h1)
	split := plain.part("08:30", "R1").in("08:30", h1)
	noted := can().closed("06:00", bench).in("06:30", h1)
	noted.h.Events = []inventory.Event{{At: clock("08:30"), Kind: inventory.Decided, Disposition: "none"}}
	for _, rods := range []*rods{plain, split, noted} {
		expect(t, shop.judge(r, rods, "08:40"), want{verdict: inventory.Ready, most: "0:00"})
		expect(t, shop.judge(r, rods, "10:00"), want{verdict: inventory.QAHold, most: "2:00", least: "0:00"})
	}
}

func TestOvenWithoutASensorProvesNothing(t *testing.T) {
	t.Parallel()
	r := ruling(t, "reference-running", "E7018")
	rods := can().closed("06:00", bench).in("06:30", h1)
	expect(t, newOvens().judge(r, rods, "07:00"), want{verdict: inventory.QAHold, most: "0:30", least: "0:00"})
	open := ruling(t, "reference-running", "E7018", "evidence.missing", "open")
	expect(t, newOvens().judge(open, rods, "07:00"), want{verdict: inventory.Out, most: "0:30"})
}

func TestBothFoldsAgreeingIsNoMatterForQA(t *testing.T) {
	t.Parallel()
	r := ruling(t, "reference-running", "E7018")
	shop := newOvens().read(h1, "06:00", "06:30", "30m", "130 C")
	// 06:30 to 07:31 is unproven; out on a slip both folds say out
	rods := can().closed("05:00", bench).in("06:00", h1).out("07:31", loose)
	expect(t, shop.judge(r, rods, "10:30"), want{verdict: inventory.Out, most: "4:00", least: "2:59"})
	expect(t, shop.judge(r, rods, "10:30:01"),
		want{verdict: inventory.QAHold, most: "4:00:01", least: "2:59:01"})
	expect(t, shop.judge(r, rods, "11:31"), want{verdict: inventory.QAHold, most: "5:01", least: "4:00"})
	expect(t, shop.judge(r, rods, "11:31:01"), want{verdict: inventory.Bake, most: "5:01:01", least: "4:00:01"})
}

func TestExcursionGoesToQAWhereTheRuleSetSaysSo(t *testing.T) {
	t.Parallel()
	shop := newOvens().read(h1, "06:00", "08:00", "30m", "130 C").once(h1, "08:30", "110 C").
		read(h1, "09:00", "16:00", "30m", "130 C")
	rods := can().closed("06:00", bench).in("06:30", h1)
	expect(t, shop.judge(ruling(t, "reference-running", "E7018"), rods, "09:30"),
		want{verdict: inventory.Hold, most: "1:00"})
	strict := ruling(t, "reference-running", "E7018", "oven.excursion", "qa-hold")
	expect(t, shop.judge(strict, rods, "07:59"), want{verdict: inventory.Ready})
	expect(t, shop.judge(strict, rods, "09:30"), want{verdict: inventory.QAHold, most: "1:00"})
	rods.decided("10:00", "release")
	expect(t, shop.judge(strict, rods, "10:00"), want{verdict: inventory.Ready, most: "0:00"})
	// a gap is missing evidence, not an excursion
	gap := newOvens().read(h1, "06:00", "06:30", "30m", "130 C").read(h1, "09:00", "16:00", "30m", "130 C")
	both := ruling(t, "reference-running", "E7018", "oven.excursion", "qa-hold", "evidence.missing", "open")
	expect(t, gap.judge(both, can().closed("06:00", bench).in("06:30", h1), "09:30"),
		want{verdict: inventory.Hold, most: "2:30"})
}

func TestTooHotIsOutOfRange(t *testing.T) {
	t.Parallel()
	r := edited(t, "reference-running", "E7018", `min = "120 C"`, "min = \"120 C\"\nmax = \"180 C\"")
	shop := newOvens().read(h1, "06:00", "08:00", "30m", "130 C").once(h1, "08:30", "181 C").
		read(h1, "09:00", "16:00", "30m", "130 C")
	rods := can().closed("06:00", bench).in("06:30", h1)
	expect(t, shop.judge(r, rods, "09:00"), want{verdict: inventory.Hold, most: "1:00"})
}

func TestExplainNamesWhatCounted(t *testing.T) {
	t.Parallel()
	r := ruling(t, "reference-running", "E7018")
	shop := newOvens().read(h1, "06:00", "08:00", "30m", "130 C").once(h1, "08:30", "110 C").
		once(h1, "10:00", "130 C")
	rods := can().closed("06:00", bench).in("06:30", h1)
	got := exposure.Explain(exposure.Facts{History: rods.h, Places: shop.places(), Ruling: r}, clock("09:45"))
	want := []exposure.Piece{
		{Bundle: "K1", Place: "bench", From: clock("06:00"), To: clock("06:30"),
			Kind: exposure.Sealed, Why: "closed as it came"},
		{Bundle: "K1", Place: "H1", From: clock("06:30"), To: clock("08:00"),
			Kind: exposure.Kept, Why: "proven in range", Low: degrees("130 C"), Proven: true},
		{Bundle: "K1", Place: "H1", From: clock("08:00"), To: clock("08:30"),
			Kind: exposure.Open, Why: "holding oven: too cold", Low: degrees("110 C"), Proven: true,
			Least: span("0:30"), Most: span("0:30")},
		{Bundle: "K1", Place: "H1", From: clock("08:30"), To: clock("09:45"),
			Kind: exposure.Unproven, Why: "readings too far apart",
			Least: span("0:30"), Most: span("1:45")},
	}
	if diff := cmp.Diff(want, got.Pieces); diff != "" {
		t.Errorf("pieces (-want +got):\n%s", diff)
	}
}
