package plan

import (
	"ovenward/forecast/joint"
	"ovenward/inventory/measure"
)

// mostRemembered bounds each of a memo's maps: a plan has a few sizes and weeks
// over and over, and a file of nothing but different ones need not be remembered.
const mostRemembered = 4096

// memo is what the cells of a file meant that were read before: exact reading takes
// longer than all else of a row.
type memo struct {
	lengths map[string]measure.Length
	weeks   map[string]measure.Week
	preps   map[string]joint.Preparation
}

func newMemo() *memo {
	return &memo{lengths: map[string]measure.Length{}, weeks: map[string]measure.Week{}, preps: map[string]joint.Preparation{}}
}

// remember keeps what a text meant while there is room.
func remember[T any](m map[string]T, text string, v T) {
	if len(m) < mostRemembered {
		m[text] = v
	}
}
