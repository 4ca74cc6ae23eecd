package ledger_test

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"testing"

	"pgregory.net/rapid"

	"ovenward/inventory/ledger"
	"ovenward/inventory/measure"
)

// noon is 2025-06-05 12:00 UTC.
const noon measure.Instant = 1749124800 * 1_000_000

// fatal is what *testing.T and *rapid.T share for helpers.
type fatal interface {
	Helper()
	Fatalf(format string, args ...any)
}

// issueDraft is the n-th of a row of plain facts.
func issueDraft(n int) ledger.Draft {
	at := noon.Add(measure.Duration(n) * measure.Minute)
	return ledger.Draft{
		ID: fmt.Sprintf("01974000-0000-7000-8000-%012x", n), Kind: "issue", At: at, Noted: at,
		By: "R. Oakes", Via: "window-1", Body: fmt.Sprintf(`{"slip":"S%d","pieces":40}`, n),
	}
}

// chain returns n facts behind a head.
func chain(t fatal, h ledger.Head, n int) []ledger.Fact {
	t.Helper()
	facts := make([]ledger.Fact, 0, n)
	for range n {
		f, err := h.Next(issueDraft(int(h.Seq) + 1))
		if err != nil {
			t.Fatalf("fact %d: %v", h.Seq+1, err)
		}
		facts, h = append(facts, f), f.Head()
	}
	return facts
}

// draftChain returns the facts that drafts become behind a head.
func draftChain(t fatal, h ledger.Head, drafts []ledger.Draft) []ledger.Fact {
	t.Helper()
	var facts []ledger.Fact
	for _, d := range drafts {
		f, err := h.Next(d)
		if err != nil {
			t.Fatalf("fact %d of %+v: %v", h.Seq+1, d, err)
		}
		facts, h = append(facts, f), f.Head()
	}
	return facts
}

// drafts draws drafts that any ledger takes, odd ones included.
func drafts(t *rapid.T, least int) []ledger.Draft {
	text := rapid.StringOfN(rapid.Rune().Filter(func(r rune) bool { return r != 0 }), 1, 20, -1).
		Filter(func(s string) bool { return len(bytes.TrimSpace([]byte(s))) > 0 })
	instant := rapid.Custom(func(t *rapid.T) measure.Instant { return measure.Instant(rapid.Int64().Draw(t, "µs")) })
	n := rapid.IntRange(least, 12).Draw(t, "facts")
	ds := make([]ledger.Draft, n)
	for i := range ds {
		ds[i] = ledger.Draft{
			ID:   fmt.Sprintf("01974000-0000-7000-8000-%012x", i),
			Kind: text.Draw(t, "kind"), At: instant.Draw(t, "at"), Noted: instant.Draw(t, "noted"),
			By: text.Draw(t, "by"), Via: text.Draw(t, "via"),
			Body:   rapid.SampledFrom([]string{`{}`, ` {"a" : 1}`, `"<&> \u2028 é"`, `[1,2]`}).Draw(t, "body"),
			Reason: text.Draw(t, "reason"),
		}
		if i > 0 && rapid.Bool().Draw(t, "is a correction") {
			ds[i].Supersedes = ds[i-1].ID
		}
	}
	return ds
}

// export writes facts behind a head as a file.
func export(t fatal, from ledger.Head, facts []ledger.Fact) []byte {
	t.Helper()
	var b bytes.Buffer
	w, err := ledger.NewWriter(&b, from)
	for _, f := range facts {
		if err == nil {
			err = w.Write(f)
		}
	}
	if err == nil {
		err = w.Close()
	}
	if err != nil {
		t.Fatalf("export: %v", err)
	}
	return b.Bytes()
}

// load reads a whole file behind a head.
func load(file []byte, have ledger.Head) ([]ledger.Fact, error) {
	r, err := ledger.NewReader(bytes.NewReader(file), have)
	if err != nil {
		return nil, err
	}
	var facts []ledger.Fact
	for {
		f, err := r.Read()
		if errors.Is(err, io.EOF) {
			return facts, nil
		}
		if err != nil {
			return facts, err
		}
		facts = append(facts, f)
	}
}

// brokenAt fails unless err is a *BrokenError that names the fact.
func brokenAt(t testing.TB, err error, seq int64) {
	t.Helper()
	b, ok := errors.AsType[*ledger.BrokenError](err)
	if !ok {
		t.Errorf("error %v, want a *BrokenError", err)
		return
	}
	if b.Seq != seq {
		t.Errorf("named fact %d (%v), want fact %d", b.Seq, err, seq)
	}
}
