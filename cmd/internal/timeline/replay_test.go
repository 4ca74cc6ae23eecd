package timeline_test

import (
	"encoding/json"
	"errors"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"ovenward/cmd/internal/timeline"
	"ovenward/migrations/db/dbtest"
)

// shop is a can of 150 rods of E7018 put into a holding oven that is at 130 C
// from 06:00 to 18:00.
var shop = []string{
	at("06:00", "place", `"place":"H1","kind":"holding oven"`),
	`{"at":"2025-06-05 06:00","do":"receive","lot":"7B21","class":"E7018","diameter":"1/8 in","length":"14 in",` +
		`"package":"hermetic can","bundle":"K1","pieces":150}`,
	at("06:00", "release", `"lot":"7B21"`),
	at("06:00", "open", `"bundle":"K1","into":"H1"`),
	at("06:00", "readings", `"place":"H1","every":"30m","until":"@18:00","value":"130 C"`),
}

// at is a line of 5 June 2025; in the rest of it @ stands for that day.
func at(clock, verb, rest string) string {
	return strings.ReplaceAll(`{"at":"@`+clock+`","do":"`+verb+`",`+rest+`}`, `"@`, `"2025-06-05 `)
}

// in is a timeline in the shop.
func in(text ...string) string { return lines(append(slices.Clone(shop), text...)...) }

func replay(t testing.TB, text string) timeline.Result {
	t.Helper()
	res, err := timeline.Replay(t.Context(), dbtest.SQLite(t), read(t, text))
	if err != nil {
		t.Fatal(err)
	}
	return res
}

// holds replays lines in the shop of which all must hold.
func holds(t *testing.T, want int, text ...string) {
	t.Helper()
	res := replay(t, in(text...))
	for _, o := range res.Outcomes {
		if !o.Held() {
			t.Error(o)
		}
	}
	if res.Held != want || res.Failed != 0 {
		t.Errorf("%d held, %d failed, want %d and 0", res.Held, res.Failed, want)
	}
}

var out40 = at("07:00", "issue", `"slip":"S1","bundle":"K1","pieces":40,"welder":"W3"`)

func TestWrongExpectationFailsWithBothValues(t *testing.T) {
	t.Parallel()
	const ten = `"slip":"S2","bundle":"K1","pieces":10,"welder":"W4"`
	const tooMany = `"slip":"S2","bundle":"K1","pieces":111,"welder":"W4"`
	for _, c := range []struct{ line, want string }{
		{at("08:00", "expect", `"bundle":"S1","exposure":"1:01"`),
			"line 8, bundle S1: exposure is 1:00, expected 1:01"},
		{at("08:00", "expect", `"bundle":"S1","exposure_least":"0:59:59"`),
			"exposure_least is 1:00, expected 0:59:59"},
		{at("08:00", "expect", `"bundle":"K1","verdict":"hold"`),
			"line 8, bundle K1: verdict is ready, expected hold"},
		{at("08:00", "expect", `"bundle":"S1","limit":"9h"`), "limit is 4:00, expected 9:00"},
		{at("08:00", "expect", `"bundle":"K1","limit":null`), "limit is 4:00, expected none"},
		{at("08:00", "expect", `"bundle":"K1","ready":"@09:00"`), "ready is none, expected 2025-06-05 09:00"},
		{at("08:00", "expect", `"bundle":"K1","bakes":1`), "bakes is 0, expected 1"},
		{at("08:00", "expect", `"bundle":"K1","pieces":150`), "pieces is 110, expected 150"},
		{at("08:00", "expect", `"slip":"S1","due":"@11:01"`),
			"line 8, slip S1: due is 2025-06-05 11:00, expected 2025-06-05 11:01"},
		{at("08:00", "expect", `"slip":"S1","due":null`), "due is 2025-06-05 11:00, expected none"},
		{at("08:00", "expect", `"slip":"S1","warn":"@10:30"`),
			"warn is 2025-06-05 10:12, expected 2025-06-05 10:30"},
		{at("08:00", "expect", `"slip":"S1","overdue":true`), "overdue is none, expected true"},
		{at("11:30", "expect", `"slip":"S1","overdue":false`), "overdue is 2025-06-05 11:00, expected false"},
		{at("11:30", "expect", `"slip":"S1","overdue":null`), "overdue is 2025-06-05 11:00, expected none"},
		{at("11:30", "expect", `"bundle":"K1","overdue":false`), "overdue is not known of it, expected false"},
		{at("08:00", "expect", `"bundle":"K7","verdict":"ready"`),
			"line 8, bundle K7: refused is unknown, expected none (no such bundle at this site)"},
		{at("08:00", "expect", `"slip":"S7","overdue":null`),
			"line 8, slip S7: refused is unknown, expected none"},
		{at("08:00", "issue", ten+`,"refused":"on-hold"`), "line 8, do issue: refused is none, expected on-hold"},
		{at("08:00", "issue", tooMany+`,"refused":"on-hold"`),
			"line 8, do issue: refused is not-enough, expected on-hold"},
		{at("08:00", "issue", tooMany), "line 8, do issue: refused is not-enough, expected none"},
		{at("08:00", "expect", `"bundle":"S1","exposure":"2:00","pieces":7`),
			"exposure is 1:00, expected 2:00; pieces is 40, expected 7"},
	} {
		t.Run(c.want, func(t *testing.T) {
			t.Parallel()
			res := replay(t, in(out40, c.line))
			if res.Failed != 1 || res.Held != 0 || len(res.Outcomes) != 1 {
				t.Fatalf("%d held, %d failed, want one failed", res.Held, res.Failed)
			}
			if got := res.Outcomes[0].String(); !strings.Contains(got, c.want) {
				t.Errorf("got  %s\nwant %s", got, c.want)
			}
		})
	}
}

// A figure of a shipped timeline that is changed must be found out.
func TestShippedTimelineWithAWrongFigureFails(t *testing.T) {
	t.Parallel()
	text := string(contents(t, files(t)["s01-plain-return-in-time"]))
	for _, figure := range [][2]string{{`"exposure":"3:45"`, `"exposure":"3:46"`},
		{`"ready":"2025-06-05 14:45"`, `"ready":"2025-06-05 14:44"`},
		{`"verdict":"hold"`, `"verdict":"bake"`}, {`"refused":"hold-not-complete"`, `"refused":"over-limit"`},
		{`"warn":"2025-06-05 10:12"`, `"warn":"2025-06-05 10:13"`}, {`"pieces":110`, `"pieces":109`}} {
		wrong := strings.Replace(text, figure[0], figure[1], 1)
		if wrong == text {
			t.Errorf("%s is not in the timeline", figure[0])
			continue
		}
		if res := replay(t, wrong); res.Failed != 1 {
			t.Errorf("with %s for %s %d failed, want 1", figure[1], figure[0], res.Failed)
		}
	}
}

func TestExpectationsAreWrittenInMoreThanOneWay(t *testing.T) {
	t.Parallel()
	holds(t, 12, out40,
		at("08:30:30", "expect", `"bundle":"S1","exposure":"1:30:30","limit":"4:00:00"`),
		at("08:30", "expect", `"bundle":"S1","exposure":"1h30m","limit":"4h","bakes":"0","pieces":"40"`),
		`{"at":"2025-06-05T08:30","do":"expect","slip":"S1","due":"2025-06-05T14:00:00Z"}`,
		at("08:30", "expect", `"slip":"S1","warn":"@10:12:00"`),
		at("11:30", "expect", `"slip":"S1","overdue":true`),
		at("11:30", "expect", `"slip":"S1","overdue":"@11:00"`),
		at("10:59", "expect", `"slip":"S1","overdue":false`),
		at("10:59", "expect", `"slip":"S1","overdue":null`),
		at("10:59", "expect", `"bundle":"K1","ready":null,"due":null`),
		`{"do":"expect","bundle":"S1","exposure":"0:00","note":"at the entry time of the line before"}`,
		at("08:30", "expect", `"bundle":"S7","refused":"unknown"`),
		`{"do":"expect","bundle":"K1"}`)
}

func TestFactsAreWrittenInMoreThanOneWay(t *testing.T) {
	t.Parallel()
	res := replay(t, lines(
		`{"do":"place","place":"H1","kind":"holding oven"}`,
		at("05:00", "place", `"place":"H1","kind":"holding oven","note":"named twice"`),
		`{"do":"place","place":"Q1","kind":"portable oven"}`,
		`{"do":"sensor","sensor":"T1","place":"H1"}`,
		at("06:00:00", "readings", `"place":"H1","every":"0:30","until":"2025-06-05T18:00","value":"266 F"`),
		at("05:30", "receive",
			`"lot":7210,"class":"E7018","diameter":"3.2 mm","package":"sealed can","bundle":12,"pieces":"150"`),
		at("05:30", "receive",
			`"lot":"7211","class":"E7018","diameter":"1/8 in","package":"board box","bundle":"C1","pieces":100`),
		at("05:30", "release", `"lot":"7210"`),
		at("05:30", "release", `"lot":"7211"`),
		at("06:00", "open", `"bundle":12,"into":"H1"`),
		at("06:30", "issue", `"slip":"S0","bundle":"C1","pieces":5,"welder":"W3","refused":"first-bake"`),
		at("07:00", "issue", `"slip":101,"class":"E7018","diameter":"1/8 in","pieces":40,"welder":3,"joints":"J-101"`),
		`{"do":"expect","slip":101,"due":"2025-06-05 11:00"}`,
		at("07:30", "hold", `"lot":7210,"reason":"label unreadable"`),
		at("07:31", "issue", `"slip":102,"bundle":12,"pieces":1,"welder":"W3","refused":"on-hold"`),
		at("07:32", "release", `"lot":7210`),
		at("07:33", "hold", `"bundle":12`),
		at("07:34", "issue", `"slip":102,"bundle":12,"pieces":1,"welder":"W3","refused":"on-hold"`),
		at("08:00", "return", `"slip":101,"unused":38,"stubs":2,"into":"H1","as":"R1"`),
		`{"do":"expect","bundle":"R1","verdict":"hold","exposure":"1:00"}`,
	))
	for _, o := range res.Outcomes {
		if !o.Held() {
			t.Error(o)
		}
	}
	if res.Held != 5 {
		t.Errorf("%d held, want 5", res.Held)
	}
}

func TestQuantitiesWithoutUnitsAreRefusedNotGuessed(t *testing.T) {
	t.Parallel()
	holds(t, 8,
		at("06:00", "place", `"place":"D1","kind":"bake oven"`),
		at("07:00", "reading", `"place":"H1","value":250,"refused":"unit"`),
		at("07:00", "reading", `"place":"H1","value":"250","refused":"unit"`),
		at("07:00", "reading", `"place":"H1","value":"250 C","refused":"unit"`),
		at("07:00", "bake", `"bundle":"K1","place":"D1","set":350,"refused":"unit"`),
		at("07:00", "issue", `"bundle":"K1","pieces":2.5,"welder":"W3","refused":"unit"`),
		at("07:00", "issue", `"bundle":"K1","pieces":-2,"welder":"W3","refused":"unit"`),
		at("07:00", "receive",
			`"lot":"7B22","class":"E7018","diameter":3.2,"package":"hermetic can","pieces":10,"refused":"unit"`),
		`{"at":"5 June, 7 o'clock","do":"release","lot":"7B21","refused":"unit"}`)
}

// The clocks of Halifax went back on 2 November 2025 at 02:00 and forward on 9
// March 2025 at 02:00 (tz database).
func TestTimesThatAreTwoOrNoneAreRefused(t *testing.T) {
	t.Parallel()
	const oven = `"do":"place","place":"H1","kind":"holding oven"`
	res := replay(t, lines(
		`{"at":"2025-03-09 02:30",`+oven+`,"refused":"no-such-time"}`,
		`{"at":"2025-11-02 01:30",`+oven+`,"refused":"ambiguous-time"}`,
		`{"at":"2025-11-02 00:30","noted":"2025-11-02 01:30",`+oven+`,"refused":"ambiguous-time"}`,
		`{"at":"2025-11-02 01:30 ADT",`+oven+`}`,
		`{"at":"2025-11-02 00:30","do":"readings","place":"H1","every":"30m","value":"130 C",`+
			`"until":"2025-11-02 01:30","refused":"ambiguous-time"}`,
	))
	if res.Held != 4 || res.Failed != 0 {
		t.Errorf("%d held, %d failed, want 4 and 0: %v", res.Held, res.Failed, res.Outcomes)
	}
	_, err := timeline.Replay(t.Context(), dbtest.SQLite(t), read(t, in(out40,
		at("08:00", "expect", `"slip":"S1","due":"2025-11-02 01:30"`))))
	e, ok := errors.AsType[*timeline.LineError](err)
	if !ok || e.Line != 8 || !strings.Contains(e.Why, `"2025-11-02 01:30 ADT" for the first`) {
		t.Errorf("got %v, want line 8 and how to write it", err)
	}
}

func TestFactIsRecordedOncePerID(t *testing.T) {
	t.Parallel()
	holds(t, 4,
		at("07:00", "issue", `"id":"slip 1","slip":"S1","bundle":"K1","pieces":40,"welder":"W3"`),
		at("07:00", "issue", `"noted":"@07:30","id":"slip 1","slip":"S1","bundle":"K1","pieces":40,"welder":"W3"`),
		`{"do":"expect","bundle":"K1","pieces":110}`,
		at("07:40", "issue", `"id":"slip 2","slip":"S1","bundle":"K1","pieces":40,"welder":"W3","refused":"duplicate"`),
		at("07:41", "move", `"id":"slip 1","bundle":"K1","into":"store","refused":"duplicate"`),
		at("07:50", "correct", `"id":"c 1","fact":"slip 1","reason":"miscounted","pieces":41`),
		at("07:50", "correct", `"id":"c 1","fact":"slip 1","reason":"miscounted","pieces":41`),
		`{"do":"expect","bundle":"K1","pieces":109}`)
}

// What is noted: the line's own, or when it happened, or the line's before if
// that is later. A fact is in the future against that.
func TestEntryTimeIsThatOfTheLineBeforeIfLater(t *testing.T) {
	t.Parallel()
	holds(t, 6,
		at("09:00", "place", `"place":"Q1","kind":"quiver"`),
		at("07:00", "issue", `"slip":"S1","bundle":"K1","pieces":10,"welder":"W3","note":"noted 09:00"`),
		`{"do":"expect","slip":"S1","exposure":"2:00"}`,
		at("09:30", "issue", `"noted":"@09:10","slip":"S2","bundle":"K1","pieces":10,"welder":"W3","refused":"future"`),
		at("08:00", "issue", `"noted":"@10:00","slip":"S3","bundle":"K1","pieces":10,"welder":"W3"`),
		`{"do":"expect","slip":"S3","exposure":"2:00","due":"2025-06-05 12:00"}`,
		at("08:30", "expect", `"slip":"S3","exposure":"0:30"`),
		`{"do":"expect","slip":"S3","exposure":"2:00","note":"an expectation enters nothing"}`,
		at("11:00", "release", `"lot":"7B21"`),
		`{"do":"expect","slip":"S3","exposure":"3:00"}`)
}

// A maker's packet row of the header: half of its two hours is half of the four
// that the reference rules allow.
func TestHeaderAddsRowsToItsRuleSet(t *testing.T) {
	t.Parallel()
	rows := headed(`"rows":["[[packet]]","row = \"maker-packet\"","limit = \"2h\"",` +
		`"source = \"a maker's sheet\"","status = \"shop\""]`)
	text := strings.Replace(in(at("07:00", "move", `"bundle":"K1","into":"packet"`),
		at("08:00", "expect", `"bundle":"K1","exposure":"2:00","says":"exposed 2 h of 4 h"`),
		at("08:00", "expect", `"bundle":"K1","says":"exposed 1 h"`)), header, rows, 1)
	res := replay(t, text)
	if res.Held != 1 || res.Failed != 1 || !slices.Equal(res.Outcomes[1].Wrong, []string{"says"}) {
		t.Errorf("outcomes %v, want the second to differ in what it says", res.Outcomes)
	}
}

func TestCorrectionTellsWhatHappenedWhen(t *testing.T) {
	t.Parallel()
	wrong := at("17:00", "issue", `"id":"out","slip":"S1","bundle":"K1","pieces":40,"welder":"W3"`)
	const back = `{"at":"2025-06-05 10:30","do":"return","slip":"S1","unused":30,"into":"H1","as":"R1"`
	right := at("10:32", "expect", `"bundle":"R1","verdict":"hold","exposure":"3:30","ready":"@14:30"`)
	for name, correct := range map[string]string{
		"its own time":    at("07:00", "correct", `"fact":"out","reason":"typed 17:00"`),
		"both times":      at("07:00", "correct", `"noted":"@17:05","by":"A2","fact":"out","reason":"typed 17:00"`),
		"among new":       at("17:05", "correct", `"fact":"out","reason":"typed 17:00","new":{"at":"@07:00"}`),
		"with new values": at("07:00", "correct", `"fact":"out","reason":"typed 17:00","pieces":41,"welder":"W4"`),
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			holds(t, 2, wrong, back+`,"refused":"impossible-order"}`, correct, back+`}`, right)
		})
	}
}

func TestRodsOfASlipComeBackApartOrMixed(t *testing.T) {
	t.Parallel()
	apart := []string{out40, at("08:00", "move", `"bundle":"S1","pieces":10,"into":"open air","as":"P1"`),
		at("08:00", "move", `"bundle":"S1","pieces":5,"into":"open air","as":"P2"`)}
	with := func(more ...string) []string { return append(slices.Clone(apart), more...) }
	own := at("09:00", "return", `"slip":"S1","unused":25,"into":"H1","as":"R1"`)
	t.Run("by their names", func(t *testing.T) {
		t.Parallel()
		holds(t, 3, with(own,
			at("09:00", "return", `"slip":"S1","bundle":"P1","unused":10,"into":"H1","as":"R2"`),
			at("09:00", "return", `"slip":"S1","bundle":"P2","unused":5,"into":"H1","as":"R3"`),
			`{"do":"expect","bundle":"R2","pieces":10,"exposure":"2:00"}`, `{"do":"expect","bundle":"R3","pieces":5}`,
			at("09:01", "return", `"slip":"S1","unused":1,"into":"H1","refused":"duplicate"`))...)
	})
	t.Run("the last without its name", func(t *testing.T) {
		t.Parallel()
		holds(t, 2, with(own, at("09:00", "move", `"bundle":"P1","into":"H1"`),
			at("09:10", "return", `"slip":"S1","unused":5,"into":"H1","as":"R3"`),
			`{"do":"expect","bundle":"R3","pieces":5,"exposure":"2:10"}`,
			`{"do":"expect","bundle":"P1","pieces":10,"verdict":"hold"}`)...)
	})
	t.Run("one of two without its name", func(t *testing.T) {
		t.Parallel()
		holds(t, 2, with(own,
			at("09:10", "return", `"slip":"S1","unused":5,"into":"H1","as":"R3","refused":"unknown"`),
			at("09:20", "return", `"slip":"S1","unused":15,"into":"H1","as":"R4"`),
			`{"do":"expect","bundle":"R4","pieces":15,"exposure":"2:20"}`)...)
	})
	t.Run("all mixed", func(t *testing.T) {
		t.Parallel()
		holds(t, 2, with(at("09:00", "return", `"slip":"S1","unused":41,"into":"H1","as":"R1","refused":"balance"`),
			at("09:00", "return", `"slip":"S1","unused":30,"stubs":10,"into":"H1","as":"R1"`),
			`{"do":"expect","bundle":"R1","pieces":30,"exposure":"2:00"}`)...)
	})
}

func TestUnexpectedRefusalDoesNotEndTheReplay(t *testing.T) {
	t.Parallel()
	res := replay(t, in(at("07:00", "issue", `"slip":"S1","bundle":"K1","pieces":400,"welder":"W3"`),
		at("07:00", "expect", `"bundle":"K1","pieces":150`)))
	if res.Held != 1 || res.Failed != 1 {
		t.Errorf("%d held, %d failed, want 1 and 1", res.Held, res.Failed)
	}
}

// The names are those of the timeline's own fields; a time that is not in sight
// is null.
func TestOutcomeAsJSON(t *testing.T) {
	t.Parallel()
	res := replay(t, in(out40,
		at("08:00", "expect", `"slip":"S1"`),
		at("08:00", "expect", `"bundle":"K1","pieces":150,"ready":"@09:00"`),
		at("08:00", "issue", `"slip":"S2","bundle":"K1","pieces":10,"welder":"W4","refused":"on-hold"`)))
	want := []map[string]any{
		{"line": 8.0, "slip": "S1", "held": true, "verdict": "out",
			"exposure": "1:00", "exposure_least": "1:00", "limit": "4:00",
			"due": "2025-06-05 11:00", "warn": "2025-06-05 10:12", "overdue": nil, "bakes": 0.0, "pieces": 40.0,
			"flagged": nil},
		{"line": 9.0, "bundle": "K1", "held": false, "verdict": "ready",
			"exposure": "0:00", "exposure_least": "0:00", "limit": "4:00",
			"due": nil, "warn": nil, "ready": nil, "bakes": 0.0, "pieces": 110.0,
			"wanted": map[string]any{"pieces": 150.0, "ready": "2025-06-05 09:00"}},
		{"line": 10.0, "do": "issue", "held": false, "refused": nil, "wanted": map[string]any{"refused": "on-hold"}},
	}
	for i, o := range res.Outcomes {
		text, err := json.Marshal(o)
		if err != nil {
			t.Fatal(err)
		}
		var got map[string]any
		if err := json.Unmarshal(text, &got); err != nil {
			t.Fatal(err)
		}
		delete(got, "why") // in words that may change
		if diff := cmp.Diff(want[i], got); diff != "" {
			t.Errorf("outcome %d (-want +got):\n%s", i, diff)
		}
	}
}
