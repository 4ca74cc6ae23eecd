package evidence

import (
	"cmp"
	"slices"
	"sort"

	"ovenward/inventory/measure"
)

// Track is one sensor's readings in order of time, corrected for its known
// error, each marked if it rests on a calibration that was past due.
type Track struct {
	readings []Reading
	unfit    []bool // nil where all are fit
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
		t.readings = slices.Clone(readings)
		t.calibrate(calibrations)
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

func (t *Track) calibrate(calibrations []Calibration) {
	cs := slices.Clone(calibrations)
	slices.SortStableFunc(cs, func(a, b Calibration) int { return cmp.Compare(a.At, b.At) })
	t.unfit = make([]bool, len(t.readings))
	next := 0
	for i := range t.readings {
		r := &t.readings[i]
		for next < len(cs) && cs[next].At <= r.At {
			next++
		}
		if next == 0 {
			continue
		}
		c := cs[next-1]
		r.Temp -= c.Error
		t.unfit[i] = c.Due != 0 && r.At >= c.Due
	}
}

// Last returns the newest reading, corrected; false where there is none.
func (t Track) Last() (Reading, bool) {
	if len(t.readings) == 0 {
		return Reading{}, false
	}
	return t.readings[len(t.readings)-1], true
}

// judge returns what the track shows for a band if readings may be no further
// apart than maxGap.
func (t Track) judge(b Band, maxGap measure.Duration) spans {
	var list []Span
	now := Span{}
	for i := 1; i < len(t.readings); i++ {
		p, q := &t.readings[i-1], &t.readings[i]
		finding, reason := Unproven, Gap
		switch {
		case q.At.Sub(p.At) > maxGap:
		case t.isUnfit(i-1) || t.isUnfit(i):
			reason = CalibrationDue
		default:
			finding, reason = b.finding(min(p.Temp, q.Temp), max(p.Temp, q.Temp)), ""
		}
		if i > 1 && finding == now.Finding && reason == now.Reason {
			continue
		}
		if i > 1 {
			now.To = p.At
			list = append(list, now)
		}
		now = Span{From: p.At, Finding: finding, Reason: reason}
	}
	if n := len(t.readings); n > 1 {
		now.To = t.readings[n-1].At
		list = append(list, now)
	}
	return spans{track: t, band: b, gap: maxGap, list: list}
}

func (t Track) isUnfit(i int) bool { return t.unfit != nil && t.unfit[i] }

// index returns the number of readings before an instant.
func (t Track) index(at measure.Instant) int {
	return sort.Search(len(t.readings), func(i int) bool { return t.readings[i].At >= at })
}

// window returns the readings from one instant to another, both included.
func (t Track) window(from, to measure.Instant) []Reading {
	return t.readings[t.index(from):t.index(to+1)]
}

// around is window with the readings before and after it, which speak for the
// time between.
func (t Track) around(from, to measure.Instant) []Reading {
	lo, hi := t.index(from+1)-1, t.index(to)+1
	return t.readings[max(lo, 0):min(hi, len(t.readings))]
}
