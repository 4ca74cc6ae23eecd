package evidence_test

import (
	"testing"

	"github.com/google/go-cmp/cmp"

	"ovenward/inventory/measure"
	"ovenward/storage/evidence"
)

// The expected spans follow from one rule: between two readings the lower one
// applies, and readings more than the longest gap apart prove nothing.

// minute is an instant so many minutes after the start of a day.
func minute(m int) measure.Instant {
	const start measure.Instant = 1_749_106_800_000_000 // 2025-06-05 07:00 UTC
	return start.Add(measure.Duration(m) * measure.Minute)
}

func read(m int, celsius int64) evidence.Reading {
	return evidence.Reading{At: minute(m), Temp: measure.Celsius(celsius)}
}

func track(readings ...evidence.Reading) evidence.Track { return evidence.NewTrack(readings, nil) }

var hold = evidence.Band{Min: measure.Celsius(120)}

// of gathers the spans of what left a place at an instant.
func of(p *evidence.Place, b evidence.Band, from, to, left measure.Instant) []evidence.Span {
	var all []evidence.Span
	p.Each(b, measure.Hour, from, to, left, func(s evidence.Span) { all = append(all, s) })
	return all
}

// piece is a span in minutes.
type piece struct {
	From, To int
	Finding  evidence.Finding
	Reason   evidence.Reason
}

func pieces(spans []evidence.Span) []piece {
	var all []piece
	for _, s := range spans {
		from, to := s.From.Sub(minute(0))/measure.Minute, s.To.Sub(minute(0))/measure.Minute
		all = append(all, piece{int(from), int(to), s.Finding, s.Reason})
	}
	return all
}

func TestBetweenTwoReadingsTheLowerApplies(t *testing.T) {
	t.Parallel()
	p := evidence.NewPlace(track(read(0, 130), read(30, 130), read(60, 119), read(90, 130), read(120, 130)))
	got := pieces(p.Between(hold, measure.Hour, minute(0), minute(120)))
	want := []piece{
		{0, 30, evidence.InRange, ""},
		{30, 90, evidence.TooCold, ""},
		{90, 120, evidence.InRange, ""},
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("spans (-want +got):\n%s", diff)
	}
}

func TestTheHigherReadingAppliesToAMaximum(t *testing.T) {
	t.Parallel()
	band := evidence.Band{Min: measure.Celsius(120), Max: measure.Celsius(180), HasMax: true}
	p := evidence.NewPlace(track(read(0, 180), read(30, 181), read(60, 180), read(90, 120)))
	got := pieces(p.Between(band, measure.Hour, minute(0), minute(90)))
	want := []piece{{0, 60, evidence.TooHot, ""}, {60, 90, evidence.InRange, ""}}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("spans (-want +got):\n%s", diff)
	}
	zero := evidence.Band{Min: measure.Celsius(-20), HasMax: true}
	thaw := evidence.NewPlace(track(read(0, 1), read(30, 1)))
	got = pieces(thaw.Between(zero, measure.Hour, minute(0), minute(30)))
	if want := []piece{{0, 30, evidence.TooHot, ""}}; !cmp.Equal(want, got) {
		t.Errorf("a maximum of 0 °C: %v, want %v", got, want)
	}
}

func TestBandIsClosedAtBothEnds(t *testing.T) {
	t.Parallel()
	us := evidence.Band{Min: measure.Fahrenheit(250), Max: measure.Fahrenheit(800), HasMax: true}
	for text, want := range map[string]evidence.Finding{
		"250 F": evidence.InRange, "249.99 F": evidence.TooCold, "121.11 C": evidence.TooCold,
		"800 F": evidence.InRange, "800.01 F": evidence.TooHot, "428 C": evidence.TooHot,
	} {
		temp, err := measure.ParseTemperature(text)
		if err != nil {
			t.Fatal(err)
		}
		both := []evidence.Reading{{At: minute(0), Temp: temp}, {At: minute(30), Temp: temp}}
		p := evidence.NewPlace(track(both...))
		if got := p.Between(us, measure.Hour, minute(0), minute(30))[0].Finding; got != want {
			t.Errorf("%s is %s, want %s", text, got, want)
		}
	}
}

func TestAGapProvesNothing(t *testing.T) {
	t.Parallel()
	p := evidence.NewPlace(track(read(0, 130), read(60, 130), read(121, 130), read(181, 130)))
	got := pieces(p.Between(hold, measure.Hour, minute(0), minute(181)))
	want := []piece{
		{0, 60, evidence.InRange, ""},
		{60, 121, evidence.Unproven, evidence.Gap},
		{121, 181, evidence.InRange, ""},
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("spans (-want +got):\n%s", diff)
	}
}

func TestBeforeTheFirstReadingNothingIsProven(t *testing.T) {
	t.Parallel()
	p := evidence.NewPlace(track(read(60, 130), read(90, 130)))
	got := pieces(p.Between(hold, measure.Hour, minute(0), minute(90)))
	want := []piece{{0, 60, evidence.Unproven, evidence.NoSensor}, {60, 90, evidence.InRange, ""}}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("spans (-want +got):\n%s", diff)
	}
	var none *evidence.Place
	for name, place := range map[string]*evidence.Place{
		"nil": none, "empty": evidence.NewPlace(), "silent": evidence.NewPlace(track()),
	} {
		got := pieces(place.Between(hold, measure.Hour, minute(0), minute(90)))
		if want := []piece{{0, 90, evidence.Unproven, evidence.NoSensor}}; !cmp.Equal(want, got) {
			t.Errorf("%s place: %v, want %v", name, got, want)
		}
	}
}

func TestTheLastReadingSpeaksUntilTheNextIsOverdue(t *testing.T) {
	t.Parallel()
	p := evidence.NewPlace(track(read(0, 130), read(30, 130)))
	got := pieces(p.Between(hold, measure.Hour, minute(0), minute(90)))
	if want := []piece{{0, 90, evidence.InRange, ""}}; !cmp.Equal(want, got) {
		t.Errorf("an hour after the last reading: %v, want %v", got, want)
	}
	got = pieces(p.Between(hold, measure.Hour, minute(0), minute(91)))
	want := []piece{{0, 30, evidence.InRange, ""}, {30, 91, evidence.Unproven, evidence.Silent}}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("a minute more (-want +got):\n%s", diff)
	}
}

func TestAReadingSpeaksForWhatLeftBeforeTheNextWasOverdue(t *testing.T) {
	t.Parallel()
	p := evidence.NewPlace(track(read(0, 130), read(30, 130), read(200, 40), read(400, 40)))
	left := func(from, to, left int) []piece {
		return pieces(of(p, hold, minute(from), minute(to), minute(left)))
	}
	unproven := []piece{{0, 30, evidence.InRange, ""}, {30, 90, evidence.Unproven, evidence.Gap}}
	cases := []struct {
		name           string
		from, to, left int
		want           []piece
	}{
		{"left on time", 0, 90, 90, []piece{{0, 90, evidence.InRange, ""}}},
		{"left too late", 0, 90, 91, unproven},
		{"stayed over the next reading", 0, 90, 230, unproven},
		{"came after the reading", 60, 90, 90, []piece{{60, 90, evidence.InRange, ""}}},
		{"after two gaps in a row, cold", 150, 250, 250,
			[]piece{{150, 200, evidence.Unproven, evidence.Gap}, {200, 250, evidence.TooCold, ""}}},
	}
	for _, c := range cases {
		if diff := cmp.Diff(c.want, left(c.from, c.to, c.left)); diff != "" {
			t.Errorf("%s (-want +got):\n%s", c.name, diff)
		}
	}
}

func TestCalibrationCorrectsFromItsDateAndLapses(t *testing.T) {
	t.Parallel()
	var readings []evidence.Reading
	for m := 0; m <= 180; m += 30 {
		readings = append(readings, read(m, 130))
	}
	check := []evidence.Calibration{{At: minute(0), Due: minute(120)}}
	lapsed := evidence.NewPlace(evidence.NewTrack(readings[:5], check))
	after := pieces(lapsed.Between(hold, measure.Hour, minute(100), minute(160)))
	if want := []piece{{100, 160, evidence.Unproven, evidence.CalibrationDue}}; !cmp.Equal(want, after) {
		t.Errorf("after the last reading: %v, want %v", after, want)
	}
	found := []evidence.Calibration{ // given in any order
		{At: minute(150)},
		{At: minute(60), Error: 11 * measure.Degree, Due: minute(120)},
		{At: minute(30), Error: -5 * measure.Degree},
	}
	p := evidence.NewPlace(evidence.NewTrack(readings, found))
	want := []evidence.Reading{read(0, 130), read(30, 135), read(60, 119), read(90, 119), read(120, 119),
		read(150, 130), read(180, 130)}
	if diff := cmp.Diff(want, p.Readings(minute(0), minute(180))); diff != "" {
		t.Errorf("readings (-want +got):\n%s", diff)
	}
	got := pieces(p.Between(hold, measure.Hour, minute(0), minute(180)))
	spans := []piece{
		{0, 30, evidence.InRange, ""},
		{30, 90, evidence.TooCold, ""},
		{90, 150, evidence.Unproven, evidence.CalibrationDue},
		{150, 180, evidence.InRange, ""},
	}
	if diff := cmp.Diff(spans, got); diff != "" {
		t.Errorf("spans (-want +got):\n%s", diff)
	}
}

func TestOfTwoReadingsAtOneInstantTheFirstGivenCounts(t *testing.T) {
	t.Parallel()
	tr := track(read(30, 125), read(0, 130), read(30, 40), read(0, 40))
	got := evidence.NewPlace(tr).Readings(minute(0), minute(30))
	if diff := cmp.Diff([]evidence.Reading{read(0, 130), read(30, 125)}, got); diff != "" {
		t.Errorf("readings (-want +got):\n%s", diff)
	}
}

func TestNewTrackLeavesTheReadingsItIsGiven(t *testing.T) {
	t.Parallel()
	given := []evidence.Reading{read(30, 125), read(0, 130), read(0, 130)}
	evidence.NewTrack(given, []evidence.Calibration{{At: minute(0), Error: measure.Degree}})
	if diff := cmp.Diff([]evidence.Reading{read(30, 125), read(0, 130), read(0, 130)}, given); diff != "" {
		t.Errorf("readings changed (-want +got):\n%s", diff)
	}
}

func TestSensorsOfOnePlaceAreTakenTogether(t *testing.T) {
	t.Parallel()
	a := track(read(0, 130), read(60, 130), read(120, 130))
	b := track(read(30, 110), read(60, 130), read(90, 130), read(300, 130))
	p := evidence.NewPlace(a, b)
	got := pieces(p.Between(hold, measure.Hour, minute(0), minute(290)))
	want := []piece{
		{0, 30, evidence.InRange, ""},   // only a
		{30, 60, evidence.TooCold, ""},  // b denies
		{60, 120, evidence.InRange, ""}, // both, then a alone: b has a gap
		{120, 290, evidence.Unproven, evidence.Silent},
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("spans (-want +got):\n%s", diff)
	}
}

func TestLastIsTheNewestReadingOfAnySensor(t *testing.T) {
	t.Parallel()
	p := evidence.NewPlace(track(read(0, 130), read(90, 131)), track(), track(read(60, 120)))
	got, ok := p.Last()
	if want := read(90, 131); !ok || got != want {
		t.Errorf("Last() = %v, %v, want %v", got, ok, want)
	}
	var none *evidence.Place
	if _, ok := none.Last(); ok {
		t.Error("a place without sensors has a last reading")
	}
}

func TestExtremesIncludeTheReadingsBesideTheStretch(t *testing.T) {
	t.Parallel()
	p := evidence.NewPlace(track(read(0, 100), read(30, 140), read(60, 130), read(90, 150), read(120, 90)))
	cases := []struct {
		from, to  int
		low, high int64
	}{{40, 50, 130, 140}, {30, 60, 130, 140}, {29, 61, 100, 150}, {130, 140, 90, 90}, {-20, -10, 100, 100}}
	for _, c := range cases {
		low, high, ok := p.Extremes(minute(c.from), minute(c.to))
		if !ok || low != measure.Celsius(c.low) || high != measure.Celsius(c.high) {
			t.Errorf("Extremes(%d, %d) = %s, %s, want %d and %d °C", c.from, c.to, low, high, c.low, c.high)
		}
	}
	if _, _, ok := evidence.NewPlace(track()).Extremes(minute(0), minute(10)); ok {
		t.Error("extremes without a reading")
	}
}

func TestEmptyStretchHasNoSpans(t *testing.T) {
	t.Parallel()
	p := evidence.NewPlace(track(read(0, 130), read(30, 130)))
	if got := p.Between(hold, measure.Hour, minute(10), minute(10)); len(got) != 0 {
		t.Errorf("Between() = %v, want none", got)
	}
}

func TestFindingsHaveWords(t *testing.T) {
	t.Parallel()
	for f, want := range map[evidence.Finding]string{evidence.InRange: "in range", evidence.TooCold: "too cold",
		evidence.TooHot: "too hot", evidence.Unproven: "unproven"} {
		if got := f.String(); got != want {
			t.Errorf("%d prints %q, want %q", f, got, want)
		}
	}
}
