package evidence

import (
	"cmp"
	"slices"
	"sort"

	"ovenward/inventory/measure"
)

// Track is one sensor's readings in order of time as it showed them, with what
// is known of its error. The zero value has no readings.
type Track struct {
	sensor   string
	position Position
	readings []Reading
	checked  []era // by their first reading; none: readings are taken as shown
}

// NewTrack returns the track of a sensor. Readings may come in any order and
// more than once; of two readings at one instant the first given counts.
// Readings before the first calibration are taken as shown. The track may keep
// the readings themselves: they must not be changed afterwards.
func NewTrack(readings []Reading, calibrations []Calibration) Track {
	if !increasing(readings) {
		readings = slices.Clone(readings)
		slices.SortStableFunc(readings, byInstant)
		readings = slices.CompactFunc(readings, func(a, b Reading) bool { return a.At == b.At })
	}
	t := Track{readings: readings}
	if len(calibrations) > 0 {
		t.checked = t.eras(calibrations)
	}
	return t
}

// increasing reports whether every reading is later than the one before it, as
// a database gives them.
func increasing(readings []Reading) bool {
	for i := 1; i < len(readings); i++ {
		if readings[i].At <= readings[i-1].At {
			return false
		}
	}
	return true
}

func byInstant(a, b Reading) int { return cmp.Compare(a.At, b.At) }

// era returns what is known of a reading.
func (t Track) era(i int) era {
	for _, e := range slices.Backward(t.checked) {
		if e.first <= i {
			return e
		}
	}
	return era{}
}

// low and high return the least and the most that a reading may mean.
func (t Track) low(i int) measure.Temperature  { return t.readings[i].Temp - t.era(i).over }
func (t Track) high(i int) measure.Temperature { return t.readings[i].Temp - t.era(i).under }

// Last returns the newest reading, by the least that it may mean; false where
// there is none.
func (t Track) Last() (Reading, bool) {
	n := len(t.readings)
	if n == 0 {
		return Reading{}, false
	}
	return Reading{At: t.readings[n-1].At, Temp: t.low(n - 1)}, true
}

// judge returns what the track shows for a band if readings may be no further
// apart than maxGap, at a place that was shut down at times. Of a stretch
// between two readings the worse one decides.
func (t Track) judge(b Band, maxGap measure.Duration, off []Off) spans {
	j := judging{band: b, gap: maxGap}
	eras := t.checked
	if len(eras) == 0 {
		eras = []era{{}}
	}
	for k, e := range eras {
		end := len(t.readings)
		if k+1 < len(eras) {
			end = eras[k+1].first
		}
		j.era(t.readings[e.first:end], e)
	}
	list := j.end()
	for _, o := range off {
		list = o.cut(list, t)
	}
	return spans{track: t, band: b, gap: maxGap, off: off, list: list}
}

func (t Track) isUnfit(i int) bool { return t.era(i).unfit }

// index returns the number of readings before an instant.
func (t Track) index(at measure.Instant) int {
	return sort.Search(len(t.readings), func(i int) bool { return t.readings[i].At >= at })
}

// window returns the indexes of the readings from one instant to another, both
// included.
func (t Track) window(from, to measure.Instant) (first, end int) {
	return t.index(from), t.index(to + 1)
}

// around is window with the readings before and after it, which speak for the
// time between.
func (t Track) around(from, to measure.Instant) (first, end int) {
	lo, hi := t.index(from+1)-1, t.index(to)+1
	return max(lo, 0), min(hi, len(t.readings))
}
