package alarm

import (
	"slices"

	"ovenward/inventory/measure"
)

// byReadings are the kinds that readings alone can bring about.
var byReadings = []Kind{ExposureNear, ExposurePast, OvenCold, OvenHot, NoReading, ProbeStuck}

// FoundAfterwards reports whether a condition that no look saw so far could only be
// known by readings that came in after it: it had ceased by the last look, which
// had the facts that it follows from but for the readings. What began after the
// last look, because nobody watched, and what still stands are not: someone must
// know of them now.
func (c Condition) FoundAfterwards(looked measure.Instant) bool {
	return c.Until != 0 && c.Until <= looked && slices.Contains(byReadings, c.Kind)
}
