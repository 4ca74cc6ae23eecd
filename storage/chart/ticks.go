package chart

import (
	"time"

	"ovenward/inventory/measure"
)

// tick is a place on the clock along the bottom, with its label.
type tick struct {
	at   measure.Instant
	text string
}

// steps between ticks, each a part of a day or whole days.
var steps = []measure.Duration{5 * measure.Minute, 10 * measure.Minute, 15 * measure.Minute, 30 * measure.Minute,
	measure.Hour, 2 * measure.Hour, 3 * measure.Hour, 6 * measure.Hour, 12 * measure.Hour,
	measure.Day, 2 * measure.Day, 7 * measure.Day, 14 * measure.Day, 28 * measure.Day, 91 * measure.Day, 364 * measure.Day}

// ticks returns at most so many ticks at even times of the site's clock, whatever
// hour was skipped or came twice.
func (c Chart) ticks(most int) []tick {
	step := steps[len(steps)-1]
	for i := len(steps) - 1; i >= 0 && c.To.Sub(c.From) <= steps[i]*measure.Duration(most); i-- {
		step = steps[i]
	}
	var all []tick
	for day := measure.DateOf(c.From, c.Zone); day.At(0, c.Zone) <= c.To; day = day.AddDays(int(max(step/measure.Day, 1))) {
		for clock := measure.Duration(0); clock < measure.Day; clock += step {
			at := day.At(clock, c.Zone)
			if at >= c.From && at <= c.To && (len(all) == 0 || at > all[len(all)-1].at) {
				all = append(all, tick{at, c.tickText(at, clock, step)})
			}
		}
	}
	return all
}

// tickText is the time of day, or the day where one begins.
func (c Chart) tickText(at measure.Instant, clock, step measure.Duration) string {
	local := at.Time().In(c.Zone)
	switch {
	case step >= measure.Day:
		return local.Format("Mon 2 Jan")
	case clock == 0:
		return local.Format("2 Jan")
	}
	return local.Format(time.TimeOnly[:len("15:04")])
}

// degreeSteps between the temperatures that are named on the left.
var degreeSteps = []int64{2, 5, 10, 20, 25, 50, 100, 200, 250, 500}

// degrees returns at most so many whole temperatures between two.
func (c Chart) degrees(low, high measure.Temperature, most int) []measure.Temperature {
	zero, degree := measure.Celsius(0), measure.Degree
	if c.Units == measure.US {
		zero, degree = measure.Fahrenheit(0), measure.FahrenheitDegree
	}
	step := degree * measure.Temperature(degreeSteps[len(degreeSteps)-1])
	for i := len(degreeSteps) - 1; i >= 0; i-- {
		if s := degree * measure.Temperature(degreeSteps[i]); (high-low)/s < measure.Temperature(most) {
			step = s
		}
	}
	first := zero + (low-zero)/step*step
	var all []measure.Temperature
	for t := first; t <= high; t += step {
		if t >= low {
			all = append(all, t)
		}
	}
	return all
}
