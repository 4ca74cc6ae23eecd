package report_test

import (
	"errors"
	"strings"
	"testing"

	"ovenward/cmd/internal/app"
	"ovenward/cmd/internal/report"
	"ovenward/cmd/internal/show"
	"ovenward/inventory"
	"ovenward/migrations/db"
	"ovenward/migrations/db/dbtest"
)

func contains(text, part string) bool { return strings.Contains(text, part) }

// empty is a room that was set up and in which nothing happened but that one lot
// came in.
func empty(t *testing.T, d *db.DB) *app.App {
	t.Helper()
	return replayed(t, d, "testdata/empty.jsonl", "2025-06-11 12:00")
}

// A report that found nothing says so, in words that name what was looked for.
func TestEmptyReportsSayWhatWasLookedFor(t *testing.T) {
	t.Parallel()
	const period = "between 2025-06-11 00:00 and 2025-06-11 12:00"
	q := report.Query{From: at(t, "2025-06-11 00:00"), To: at(t, "2025-06-11 12:00")}
	dbtest.Whole(t, func(t *testing.T, open func() *db.DB) {
		a := empty(t, open())
		for name, want := range map[string][]string{
			"recall":          {"no rod of lot 7B21 was issued", "nothing of lot 7B21 was scrapped or found missing", "Nothing is left open"},
			"oven-history":    {"no heated place of which the rules ask anything is set up", "no oven was out of range or without readings " + period},
			"bakes":           {"no bakes " + period},
			"discards":        {"nothing was thrown away " + period, "nothing was baked a second time " + period},
			"open-issues":     {"no issue was open at 2025-06-11 12:00", "nobody held anything at 2025-06-11 12:00"},
			"shift":           {"nothing went out or came back " + period, "no alarm was recorded " + period, "nothing was entered late or corrected " + period, "no shift was handed over " + period},
			"receiving":       {"nothing was received " + period},
			"shelf-life":      {"nothing in the crib was expired at 2025-06-11 12:00 or expires within 90 days of it"},
			"calibration":     {"no sensor is set up at this site", "no sensor was past the date of its check " + period},
			"decisions":       {"nothing was held, released or decided " + period, "nothing was noted of any rods " + period},
			"exceptions":      {"no override, act without authority, late entry, correction, decision or imbalance " + period},
			"stubs":           {"no rods came back " + period, "nothing was counted " + period, "no wire or flux was in stock " + period},
			"rules":           {"no rule set took another's place"},
			"segregation":     {"nothing was in an oven that the rules keep it out of " + period, "no oven held low-hydrogen rods together with another family " + period},
			"climate":         {"the air of no place was read, and the rules ask nothing of any, " + period, "no store was outside of its limits", "no air was read " + period},
			"people":          {"nobody is set up at this site: everybody may do everything", "nobody was trained on a rule set", "nobody issued, took back, baked, released or decided anything " + period},
			"forecast-actual": {"nothing was planned or issued " + period, "NO PLAN is loaded at this site"},
		} {
			text := printed(t, made(t, a, name, q), show.AsTable, "")
			for _, w := range want {
				if !contains(text, w) {
					t.Errorf("report %s does not say %q:\n%s", name, w, text)
				}
			}
		}
	})
}

// A subject that there is not, or none, is refused with the next step.
func TestReportOfNothingIsRefused(t *testing.T) {
	t.Parallel()
	dbtest.Whole(t, func(t *testing.T, open func() *db.DB) {
		a := empty(t, open())
		for name, subject := range map[string]string{"trace-joint": "J-101", "recall": "9X02", "issue-history": "S1", "oven-history": "H9"} {
			for _, s := range []string{subject, ""} {
				r, err := report.Find(name)
				if err != nil {
					t.Fatal(err)
				}
				_, err = r.Make(t.Context(), a, report.Query{Subject: s})
				if s == "" && strings.HasPrefix(r.Of, "[") {
					continue // it is made of all of them
				}
				if ref, ok := errors.AsType[*inventory.Refusal](err); !ok || ref.Code != inventory.Unknown || ref.Next == "" {
					t.Errorf("report %s of %q: %v, want a refusal with code unknown and a next step", name, s, err)
				}
			}
		}
	})
}

// A lot is no joint: what it is, and how to look at it, is said.
func TestReportOfTheWrongThingSaysWhatItIs(t *testing.T) {
	t.Parallel()
	a := empty(t, dbtest.SQLite(t))
	r, err := report.Find("trace-joint")
	if err != nil {
		t.Fatal(err)
	}
	_, err = r.Make(t.Context(), a, report.Query{Subject: "7B21"})
	if ref, ok := errors.AsType[*inventory.Refusal](err); !ok || !contains(ref.Why, "it is a lot") {
		t.Errorf("got %v, want a refusal that says it is a lot", err)
	}
}

// Names are read off labels: what a spreadsheet would take for a formula is
// text there, and numbers below zero stay numbers.
func TestNamesAreNoFormulas(t *testing.T) {
	t.Parallel()
	a := replayed(t, dbtest.SQLite(t), "testdata/formulas.jsonl", "2025-06-11 12:00")
	q := report.Query{From: at(t, "2025-06-10 00:00"), To: at(t, "2025-06-11 12:00")}
	text := printed(t, made(t, a, "receiving", q), show.AsCSV, "")
	for _, want := range []string{"'=1+1", "'@SUM(A1)", "'＝A1"} {
		if !contains(text, want) {
			t.Errorf("no %q in\n%s", want, text)
		}
	}
	if got := rowsOf(t, made(t, a, "receiving", q), "receipts")[0]; got["lot"] != "=1+1" || got["maker"] != "@SUM(A1)" || got["certificate"] != "＝A1" {
		t.Errorf("read back as %v", got)
	}
	if got := rowsOf(t, made(t, a, "shelf-life", q), "expiring")[0]; got["days_left"] != "-10" {
		t.Errorf("days left %q, want -10 as a number", got["days_left"])
	}
}

func TestEveryReportNamesItsQuestions(t *testing.T) {
	t.Parallel()
	seen := map[string]bool{}
	for _, r := range report.All() {
		if seen[r.Name] || r.Title == "" || len(r.Questions) == 0 {
			t.Errorf("report %+v: a name of its own, a title and questions are needed", r)
		}
		seen[r.Name] = true
		for _, q := range r.Questions {
			if !strings.HasSuffix(q, "?") {
				t.Errorf("report %s: %q is no question", r.Name, q)
			}
		}
	}
	_, err := report.Find("nonsense")
	if ref, ok := errors.AsType[*inventory.Refusal](err); !ok || ref.Value != "nonsense" || !contains(ref.Next, "recall") {
		t.Errorf("Find(nonsense) = %v, want a refusal that lists the reports", err)
	}
}
