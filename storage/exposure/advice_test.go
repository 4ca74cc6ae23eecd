package exposure_test

import (
	"testing"

	"pgregory.net/rapid"

	"ovenward/storage/exposure"
)

// An estimate of moisture is shown beside a judgement and decides nothing: with it
// every limit, due time and verdict is the one without it.
func TestAdviceChangesNoJudgement(t *testing.T) {
	t.Parallel()
	each(t, func(t *rapid.T, p plan, judge judge) {
		at := p.instant(t)
		without := judge(p.rods.h, at)
		ruling := without.Ruling
		ruling.Advice.Moisture = true
		with := exposure.Judge(exposure.Facts{History: p.rods.h, Places: p.ovens.places(), Ruling: ruling}, at)
		if !same(with, without) || with.Limit != without.Limit {
			t.Fatalf("with advice %s of %s, without %s of %s", show(with), with.Limit, show(without), without.Limit)
		}
	})
}
