package exposure_test

import (
	"strings"
	"testing"

	"pgregory.net/rapid"

	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/storage/air"
	"ovenward/storage/exposure"
	"ovenward/storage/rules"
)

// tested is a test of nine hours at 27 °C and 80 %, of the worked example of air
// moisture (18.0 g/kg).
func tested() *rules.Report {
	return &rules.Report{Reference: "TR-7", Hours: span("9h"), Moisture: -1, From: clock("2025-06-01 00:00"),
		Air: air.Air{Temp: measure.Celsius(27), RH: 80 * measure.Percent}}
}

// shopAir is the log of the shop's air, of readings written "06:30 22 C 55 %".
func shopAir(readings ...string) map[string]*air.Log {
	var list []air.Observation
	for _, s := range readings {
		f := strings.Fields(s)
		rh, err := measure.ParseHumidity(f[3] + "%")
		if err != nil {
			panic(err)
		}
		list = append(list, air.Observation{At: clock(f[0]), Air: air.Air{Temp: degrees(f[1] + " " + f[2]), RH: rh}})
	}
	return map[string]*air.Log{"open air": air.NewLog(list)}
}

func longer(t *testing.T, r *rods, report *rules.Report, logs map[string]*air.Log, when string) exposure.Judgement {
	t.Helper()
	return exposure.Judge(exposure.Facts{History: r.h, Places: steady().places(),
		Ruling: ruling(t, "structural-2015-b", "E7018"), Report: report, Air: logs}, clock(when))
}

// TestATestLengthensTheUseAndNotTheHold: column B of E70 is above 4 h up to 10 h; a
// hold is for what was exposed for less than column A.
func TestATestLengthensTheUseAndNotTheHold(t *testing.T) {
	t.Parallel()
	dry := shopAir("06:30 22 C 55", "10:00 22 C 55", "13:30 22 C 55")
	out := fromOven().out("07:00", loose)
	expect(t, longer(t, out, tested(), dry, "12:00"),
		want{verdict: inventory.Out, most: "5:00", limit: "9:00", warn: "14:12", due: "16:00"})
	expect(t, longer(t, fromOven().out("07:00", loose).back("10:59", h1), tested(), dry, "10:59"),
		want{verdict: inventory.Hold, limit: "9:00", ready: "14:59"})
	expect(t, longer(t, fromOven().out("07:00", loose).back("11:00", h1), tested(), dry, "11:00"),
		want{verdict: inventory.Bake, most: "4:00", limit: "9:00"})
	late := fromOven().out("07:00", loose).back("12:00", h1)
	expect(t, longer(t, late, tested(), dry, "12:30"), want{verdict: inventory.Bake, most: "5:30", limit: "9:00"})
}

// TestTheFirstMinuteThatIsNotProvenTakesItAway: 4 h are the set's longest gap.
func TestTheFirstMinuteThatIsNotProvenTakesItAway(t *testing.T) {
	t.Parallel()
	out := fromOven().out("07:00", loose)
	for name, row := range map[string]struct {
		report *rules.Report
		air    map[string]*air.Log
		want   want
		why    string
	}{
		"no report":        {nil, shopAir("06:30 22 C 55"), want{limit: "4:00", due: "11:00"}, "no test report"},
		"no reading":       {tested(), nil, want{limit: "4:00", due: "11:00"}, "no reading of the air"},
		"too moist":        {tested(), shopAir("06:30 35 C 60"), want{limit: "4:00", due: "11:00"}, "air moisture 21.4 g/kg, tested 18.0 g/kg"},
		"too humid":        {tested(), shopAir("06:30 20 C 85"), want{limit: "4:00", due: "11:00"}, "humidity 85 %, tested 80 %"},
		"just as the test": {tested(), shopAir("08:00 27 C 80", "06:30 27 C 80"), want{limit: "9:00", due: "16:00"}, ""},
		"turns by and by":  {tested(), shopAir("06:30 22 C 55", "09:00 22 C 55", "11:30 20 C 85"), want{limit: "4:00", due: "11:00"}, "humidity 85 %"},
	} {
		j := longer(t, out, row.report, row.air, "10:30")
		expect(t, j, row.want)
		if j.Longer == nil || (j.Longer.Why == "") != (row.why == "") || !strings.Contains(j.Longer.Why, row.why) {
			t.Errorf("%s: decided by %+v, want %q", name, j.Longer, row.why)
		}
	}
}

// TestOnlyAZeroClockGivesItBack: a hold and a bake set the clock to zero, dry air
// does not.
func TestOnlyAZeroClockGivesItBack(t *testing.T) {
	t.Parallel()
	logs := shopAir("06:30 20 C 85", "07:30 22 C 55", "11:00 22 C 55", "14:00 22 C 55", "17:00 22 C 55")
	once := fromOven().out("07:00", loose).back("08:00", h1)
	expect(t, longer(t, once, tested(), logs, "11:59"), want{verdict: inventory.Hold, limit: "4:00"})
	again := fromOven().out("07:00", loose).back("08:00", h1).out("12:30", loose)
	expect(t, longer(t, again, tested(), logs, "16:00"), want{verdict: inventory.Out, most: "3:30", limit: "9:00", due: "21:30"})
	short := fromOven().out("07:00", loose).back("08:00", h1).out("11:30", loose)
	expect(t, longer(t, short, tested(), logs, "11:40"), want{most: "4:40", limit: "4:00"})
}

// TestJoinedRodsKeepTheShorterLimit of those that were joined.
func TestJoinedRodsKeepTheShorterLimit(t *testing.T) {
	t.Parallel()
	logs := shopAir("06:30 20 C 85", "07:30 22 C 55", "08:00 22 C 55", "12:00 22 C 55")
	damp, dry := can().closed("06:00", bench).in("06:30", h1).out("07:00", loose), fromOven().out("08:00", loose)
	both := mix("09:00", "M1", damp, dry).in("09:00", loose)
	expect(t, longer(t, both, tested(), logs, "09:00"), want{most: "2:00", limit: "4:00", due: "11:00"})
}

// TestALongerLimitOnlyLengthens: under random lives, reports and air, use with
// column B is never judged worse than without, the exposure is the same, and
// without a report, or a reading, all is as in column A.
func TestALongerLimitOnlyLengthens(t *testing.T) {
	t.Parallel()
	a, b := ruling(t, "structural-2015-a", "E7018"), ruling(t, "structural-2015-b", "E7018")
	rapid.Check(t, func(t *rapid.T) {
		p := planned(t)
		at := p.instant(t)
		logs := map[string]*air.Log{}
		for _, place := range []string{"open air", "bench"} {
			var list []air.Observation
			for range rapid.IntRange(0, 8).Draw(t, "readings") {
				list = append(list, air.Observation{At: p.instant(t),
					Air: air.Air{Temp: measure.Celsius(22), RH: measure.Humidity(rapid.Int64Range(78, 82).Draw(t, "RH")) * measure.Percent}})
			}
			logs[place] = air.NewLog(list)
		}
		report := tested()
		report.From = p.instant(t)
		places := p.ovens.places()
		judge := func(r rules.Ruling, report *rules.Report, logs map[string]*air.Log) exposure.Judgement {
			return exposure.Judge(exposure.Facts{History: p.rods.h, Places: places, Ruling: r, Report: report, Air: logs}, at)
		}
		colA, colB := judge(a, nil, nil), judge(b, report, logs)
		if colB.Limit < colA.Limit || (colA.Due != 0 && colB.Due != 0 && colB.Due < colA.Due) {
			t.Fatalf("column B: limit %s due %s, column A %s due %s", colB.Limit, colB.Due, colA.Limit, colA.Due)
		}
		if colB.Longer.Applies && colA.Verdict == inventory.Out && colB.Verdict != inventory.Out {
			t.Fatalf("column B says %s, column A %s", colB.Verdict, colA.Verdict)
		}
		for _, none := range []exposure.Judgement{judge(b, nil, logs), judge(b, report, nil)} {
			if none.Verdict != colA.Verdict || none.Most != colA.Most || none.Least != colA.Least || (none.Due != colA.Due && none.Longer.Report == nil) {
				t.Fatalf("without a report or a reading %s, %s (%s); column A says %s, %s", none.Verdict, none.Most, none.Why, colA.Verdict, colA.Most)
			}
		}
	})
}

// TestALimitThatWasTakenAwayStaysAway: the limit is column A's or what the report
// allows, never between or beyond; once it has been taken away it is column A's at
// every later instant, until the clock has been set to zero.
func TestALimitThatWasTakenAwayStaysAway(t *testing.T) {
	t.Parallel()
	a, b := ruling(t, "structural-2015-a", "E7018"), ruling(t, "structural-2015-b", "E7018")
	taken := 0
	rapid.Check(t, func(t *rapid.T) {
		p := planned(t)
		var list []air.Observation
		for range rapid.IntRange(1, 10).Draw(t, "readings") {
			list = append(list, air.Observation{At: p.instant(t),
				Air: air.Air{Temp: measure.Celsius(22), RH: measure.Humidity(rapid.Int64Range(77, 82).Draw(t, "RH")) * measure.Percent}})
		}
		logs := map[string]*air.Log{"open air": air.NewLog(list), "bench": air.NewLog(list)}
		places := p.ovens.places()
		judge := func(at measure.Instant) exposure.Judgement {
			return exposure.Judge(exposure.Facts{History: p.rods.h, Places: places, Ruling: b, Report: tested(), Air: logs}, at)
		}
		first := p.instant(t)
		then := first.Add(measure.Duration(rapid.Int64Range(0, int64(4*measure.Hour)).Draw(t, "later")))
		before, after := judge(first), judge(then)
		for _, j := range []exposure.Judgement{before, after} {
			if j.Limit != a.Limit() && j.Limit != tested().Hours {
				t.Fatalf("limit %s, column A %s, the report %s", j.Limit, a.Limit(), tested().Hours)
			}
			if (j.Limit == a.Limit()) == j.Longer.Applies {
				t.Fatalf("limit %s although column B applies: %t", j.Limit, j.Longer.Applies)
			}
		}
		zeroed := after.Most < before.Most || after.Held != before.Held || after.Bakes != before.Bakes || before.Most == 0
		if before.Longer.Applies || zeroed {
			return
		}
		taken++
		if after.Longer.Applies {
			t.Fatalf("taken away at %s (%s), and given back by %s without a clock at zero: %s then %s",
				before.Longer.Since, before.Longer.Why, then, show(before), show(after))
		}
	})
	if taken == 0 {
		t.Error("no life lost its longer limit: the property was not tried")
	}
}
