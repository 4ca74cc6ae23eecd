package main

import (
	"fmt"
	"strings"
	"testing"
)

// TestBenchPlanIsReadWhole holds that every joint of the measured plan is computed,
// in 52 weeks that each need both rods.
func TestBenchPlanIsReadWhole(t *testing.T) {
	t.Parallel()
	weeks, _, err := weeklyPieces(planFile(2000))
	if err != nil || len(weeks) != benchWeeks {
		t.Fatalf("%d weeks: %v", len(weeks), err)
	}
	var same strings.Builder
	for _, w := range weeks {
		if w[0] <= 0 || w[1] <= 0 {
			t.Errorf("a week needs %v", w)
		}
		fmt.Fprintf(&same, "%d,%d\n", w[0], w[1])
	}
	if err := samePieces([]byte(same.String()), weeks); err != nil {
		t.Error(err)
	}
	if err := samePieces([]byte(strings.Replace(same.String(), ",", "1,", 1)), weeks); err == nil {
		t.Error("other pieces are taken for the same")
	}
}
