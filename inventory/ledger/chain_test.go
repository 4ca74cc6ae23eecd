package ledger_test

import (
	"errors"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"ovenward/inventory/ledger"
	"ovenward/inventory/measure"
)

func TestChainIsGapFreeAndChecks(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		start := ledger.Start(rapid.StringMatching(`[a-zé ]{0,8}[a-z]`).Draw(t, "site"))
		head := start
		for i, f := range draftChain(t, start, drafts(t, 0)) {
			if f.Seq != int64(i+1) {
				t.Fatalf("fact %d has number %d", i+1, f.Seq)
			}
			if f.Noted < head.Noted {
				t.Fatalf("fact %d noted at %d, the one before at %d", f.Seq, f.Noted, head.Noted)
			}
			if err := head.Check(f); err != nil {
				t.Fatal(err)
			}
			head = f.Head()
		}
	})
}

func TestDraftIsKeptAsGiven(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		d := drafts(t, 1)[0]
		f, err := ledger.Start("yard").Next(d)
		if err != nil {
			t.Fatal(err)
		}
		got := f.Draft()
		got.Noted = d.Noted // the one thing that Next may move
		if got != d {
			t.Fatalf("Draft() = %+v, want %+v", got, d)
		}
	})
}

// forgeries change one field of a fact each, leaving its hash as it was.
var forgeries = map[string]func(*ledger.Fact){
	"id":         func(f *ledger.Fact) { f.ID = strings.Replace(f.ID, "7", "8", 1) },
	"kind":       func(f *ledger.Fact) { f.Kind += "x" },
	"at":         func(f *ledger.Fact) { f.At++ },
	"noted":      func(f *ledger.Fact) { f.Noted++ },
	"by":         func(f *ledger.Fact) { f.By = "somebody else" },
	"via":        func(f *ledger.Fact) { f.Via += " " },
	"body":       func(f *ledger.Fact) { f.Body += " " },
	"supersedes": func(f *ledger.Fact) { f.Supersedes += "0" },
	"reason":     func(f *ledger.Fact) { f.Reason += "." },
	"prev":       func(f *ledger.Fact) { f.Prev = strings.Repeat("a", 64) },
	"hash":       func(f *ledger.Fact) { f.Hash = strings.Repeat("b", 64) },
	"encoding":   func(f *ledger.Fact) { f.Encoding++ },
	"site":       func(f *ledger.Fact) { f.Site += "x" },
}

func TestAnyChangedFieldBreaksTheChainThere(t *testing.T) {
	t.Parallel()
	facts := chain(t, ledger.Start("yard"), 5)
	for name, forge := range forgeries {
		f := facts[2]
		forge(&f)
		err := facts[1].Head().Check(f)
		brokenAt(t, err, 3)
		if t.Failed() {
			t.Fatalf("after a change of %s", name)
		}
	}
}

func TestMissingFactIsNamed(t *testing.T) {
	t.Parallel()
	facts := chain(t, ledger.Start("yard"), 5)
	brokenAt(t, facts[1].Head().Check(facts[4]), 3)
}

func TestRepeatedFactIsNamed(t *testing.T) {
	t.Parallel()
	facts := chain(t, ledger.Start("yard"), 5)
	brokenAt(t, facts[3].Head().Check(facts[1]), 2)
}

// A fact whose own hash was computed anew is found by the next one's link.
func TestRehashedFactBreaksTheNext(t *testing.T) {
	t.Parallel()
	facts := chain(t, ledger.Start("yard"), 3)
	forged := facts[1]
	forged.Body = `{"slip":"S2","pieces":10}`
	forged.Hash = forged.Digest()
	if err := facts[0].Head().Check(forged); err != nil {
		t.Fatalf("the forged fact itself: %v", err)
	}
	brokenAt(t, forged.Head().Check(facts[2]), 3)
}

func TestNotedNeverDecreases(t *testing.T) {
	t.Parallel()
	facts := chain(t, ledger.Start("yard"), 1)
	back := issueDraft(2)
	back.Noted = facts[0].Noted - measure.Instant(measure.Hour) // the server's clock was set back
	f, err := facts[0].Head().Next(back)
	if err != nil {
		t.Fatal(err)
	}
	if f.Noted != facts[0].Noted {
		t.Errorf("noted %s, want that of the fact before, %s", f.Noted, facts[0].Noted)
	}
	f.Noted = back.Noted
	f.Hash = f.Digest()
	brokenAt(t, facts[0].Head().Check(f), 2)
}

func TestBrokenErrorNamesSiteAndFact(t *testing.T) {
	t.Parallel()
	facts := chain(t, ledger.Start("yard"), 4)
	got := facts[0].Head().Check(facts[2]).Error()
	want := `ledger of site "yard" is broken at fact 2: it is missing, fact 3 comes instead; ` +
		`compare with an export or a backup`
	if got != want {
		t.Errorf("got  %s\nwant %s", got, want)
	}
}

func TestLateBeginsAfterAQuarterOfAnHour(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		behind measure.Duration
		late   bool
	}{
		{-measure.Minute, false}, {0, false},
		{15 * measure.Minute, false}, {15*measure.Minute + 1, true}, {3 * measure.Hour, true},
	} {
		f := ledger.Fact{At: noon, Noted: noon.Add(c.behind)}
		if behind, late := f.Late(); behind != c.behind || late != c.late {
			t.Errorf("noted %v after: Late() = %v, %t, want %v, %t", c.behind, behind, late, c.behind, c.late)
		}
	}
}

func TestDraftIsRefusedByField(t *testing.T) {
	t.Parallel()
	long, body := strings.Repeat("x", ledger.MaxText+1), strings.Repeat("x", ledger.MaxBody)
	for name, c := range map[string]struct {
		field string
		spoil func(*ledger.Draft)
	}{
		"no id":                {"id", func(d *ledger.Draft) { d.ID = "" }},
		"id is no UUID":        {"id", func(d *ledger.Draft) { d.ID = "S-0001" }},
		"id in capitals":       {"id", func(d *ledger.Draft) { d.ID = "01974000-0000-7000-8000-00000000000A" }},
		"id without hyphens":   {"id", func(d *ledger.Draft) { d.ID = strings.ReplaceAll(d.ID, "-", "") }},
		"no kind":              {"kind", func(d *ledger.Draft) { d.Kind = "" }},
		"nobody":               {"by", func(d *ledger.Draft) { d.By = " \t" }},
		"from nowhere":         {"via", func(d *ledger.Draft) { d.Via = "" }},
		"too long a name":      {"by", func(d *ledger.Draft) { d.By = long }},
		"zero character":       {"via", func(d *ledger.Draft) { d.Via = "a\x00b" }},
		"not UTF-8":            {"reason", func(d *ledger.Draft) { d.Reason = "a\xff" }},
		"no body":              {"body", func(d *ledger.Draft) { d.Body = "" }},
		"body is no JSON":      {"body", func(d *ledger.Draft) { d.Body = `{"pieces":}` }},
		"too long a body":      {"body", func(d *ledger.Draft) { d.Body = `"` + body + `"` }},
		"supersedes no id":     {"supersedes", func(d *ledger.Draft) { d.Supersedes, d.Reason = "17", "typing" }},
		"supersedes itself":    {"supersedes", func(d *ledger.Draft) { d.Supersedes, d.Reason = d.ID, "typing" }},
		"correction unexcused": {"reason", func(d *ledger.Draft) { d.Supersedes = issueDraft(2).ID }},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			d := issueDraft(1)
			c.spoil(&d)
			f, err := ledger.Start("yard").Next(d)
			e, ok := errors.AsType[*ledger.FieldError](err)
			if !ok || e.Field != c.field || e.Why == "" {
				t.Errorf("error %v, want a *FieldError about %s", err, c.field)
			}
			if f != (ledger.Fact{}) {
				t.Errorf("a refused draft became %+v", f)
			}
		})
	}
}

func TestLongestTextsAreTaken(t *testing.T) {
	t.Parallel()
	d := issueDraft(1)
	d.By, d.Reason = strings.Repeat("x", ledger.MaxText), strings.Repeat("\x01", ledger.MaxText)
	d.Body = `"` + strings.Repeat(`\`, ledger.MaxBody-2) + `"`
	start := ledger.Start("yard")
	f, err := start.Next(d)
	if err != nil {
		t.Fatal(err)
	}
	got, err := load(export(t, start, []ledger.Fact{f}), start)
	if err != nil || !slices.Equal(got, []ledger.Fact{f}) {
		t.Errorf("a fact of the greatest size did not come through an export: %v", err)
	}
}

func TestLedgerNeedsASite(t *testing.T) {
	t.Parallel()
	_, err := ledger.Start(" ").Next(issueDraft(1))
	if e, ok := errors.AsType[*ledger.FieldError](err); !ok || e.Field != "site" {
		t.Errorf("error %v, want a *FieldError about the site", err)
	}
}
