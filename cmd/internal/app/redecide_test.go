package app_test

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"ovenward/cmd/internal/app"
	"ovenward/inventory"
	"ovenward/inventory/ledger"
	"ovenward/inventory/measure"
	"ovenward/migrations/db"
	"ovenward/migrations/db/dbtest"
)

// decidedShop is a shop with decisions of every kind, late and corrected ones
// among them, and readings that came in after the decisions that they bear on.
func decidedShop(t tb, d *db.DB) *shop {
	t.Helper()
	s := newShop(t, d, "yard")
	s.can("K1", 150)
	s.can("K2", 150)
	s.pass(measure.Hour)
	first := s.do(issue("S1", "K1", 40))
	s.do(issue("S2", "K2", 30))
	s.pass(measure.Hour)
	s.do(&inventory.Returned{Slip: "S1", Unused: 18, Stubs: 20, Into: "H1", As: "R1"})
	s.pass(6 * measure.Hour)
	s.do(&inventory.Returned{Slip: "S2", Unused: 10, Stubs: 20, Into: "H1", As: "R2"})
	s.do(issue("S3", "R1", 5))
	s.do(issue("S4", "K1", 20), at(s.now().Add(-2*measure.Hour))) // entered late
	s.do(&inventory.Scrapped{Bundle: "R2", Pieces: 4, Why: "over the limit"})
	s.cold()
	_, err := s.Correct(s.t.Context(), app.Correction{Fact: first.Fact.ID, Reason: "counted again", By: attendant, Values: values("pieces", 39)})
	if err != nil {
		t.Fatal(err)
	}
	s.do(&inventory.Returned{Slip: "S4", Unused: 5, Stubs: 15, Into: "H2", As: "R4"}, by("A2"))
	return s
}

// cold lets H1 turn out, 8:01 after the shop opened, to have been cold for five
// hours.
func (s *shop) cold() {
	s.clock.Store(int64(since(8*measure.Hour + measure.Minute)))
	for i := range 10 {
		s.late(since(measure.Duration(i)*30*measure.Minute+10*measure.Minute), 60)
	}
}

// Every stored decision comes to the same when it is made again: from the facts
// and the readings that were known then, not from those that are known now.
func TestStoredDecisionsComeToTheSame(t *testing.T) {
	t.Parallel()
	dbtest.Whole(t, func(t *testing.T, open func() *db.DB) {
		t.Parallel()
		s := decidedShop(t, open())
		r, err := s.Redecide(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		if r.Decisions != 8 || len(r.Different) > 0 {
			t.Errorf("%d decisions, want 8: 4 issues, 3 returns, 1 scrapping; different: %+v", r.Decisions, r.Different)
		}
	})
}

// doctor changes stored judgements.
func doctor(e inventory.Entry) {
	switch e := e.(type) {
	case *inventory.Issued:
		if e.Slip == "S3" {
			e.Judged.Verdict = inventory.Sealed
		}
	case *inventory.Returned:
		if e.Slip == "S2" {
			e.Judged.Most, e.Judged.Joints = "0:30", nil
		}
	case *inventory.Scrapped:
		ready := inventory.Ready
		e.Judged = &ready
	}
}

// A judgement that was doctored, in a ledger whose chain was made anew so that it
// holds, is found: named with what is stored and what it comes to. Slip S2 was
// out for 7 h of its 4 by the reference rules.
func TestDoctoredDecisionIsFound(t *testing.T) {
	t.Parallel()
	var file bytes.Buffer
	if _, err := decidedShop(t, dbtest.SQLite(t)).Export(t.Context(), &file, 0); err != nil {
		t.Fatal(err)
	}
	doctored := remade(t, file.Bytes(), doctor)
	dbtest.Whole(t, func(t *testing.T, open func() *db.DB) {
		t.Parallel()
		s := newShopOn(t, open(), "yard")
		s.hot(opens, opens.Add(3*measure.Day))
		s.cold()
		if _, err := s.Load(t.Context(), bytes.NewReader(doctored)); err != nil {
			t.Fatal(err)
		}
		s.sound()
		r, err := s.Redecide(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		var got []string
		for _, d := range r.Different {
			got = append(got, fmt.Sprintf("%s %s: stored %s; now %s", d.Fact.Kind, d.Of, d.Stored, d.Now))
		}
		want := []string{
			"return S2: stored exposure 0:30, no joints; now exposure 7:00, joints J-101",
			"issue S3: stored verdict sealed; now verdict ready",
			"scrap R2: stored verdict ready; now verdict bake",
		}
		if diff := cmp.Diff(want, got); diff != "" {
			t.Errorf("what differs (-want +got):\n%s", diff)
		}
	})
}

// Where a fact was changed on which decisions rest, a decision that would have
// been refused is named with the refusal: left on the shelf instead of put into H1,
// the rods of K1 were exposed for 6 h when some went out on S4, of 4 h allowed.
func TestDecisionThatWouldBeRefusedIsFound(t *testing.T) {
	t.Parallel()
	var file bytes.Buffer
	if _, err := decidedShop(t, dbtest.SQLite(t)).Export(t.Context(), &file, 0); err != nil {
		t.Fatal(err)
	}
	left := remade(t, file.Bytes(), func(e inventory.Entry) {
		if o, ok := e.(*inventory.Opened); ok && o.Bundle == "K1" {
			o.Into = ""
		}
	})
	s := newShopOn(t, dbtest.SQLite(t), "yard")
	s.hot(opens, opens.Add(3*measure.Day))
	s.cold()
	if _, err := s.Load(t.Context(), bytes.NewReader(left)); err != nil {
		t.Fatal(err)
	}
	r, err := s.Redecide(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	i := slices.IndexFunc(r.Different, func(d app.Differing) bool { return d.Of == "S4" })
	if i < 0 || r.Different[i].Stored != "verdict ready" || !strings.HasPrefix(r.Different[i].Now, "refused (over-limit): exposed 6 h") {
		t.Errorf("different: %+v, want S4 as ready, now refused", r.Different)
	}
}

// remade is an exported ledger with facts changed and the chain made anew.
func remade(t *testing.T, file []byte, change func(e inventory.Entry)) []byte {
	t.Helper()
	in, err := ledger.NewReader(bytes.NewReader(file), ledger.Start("yard"))
	if err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	head := ledger.Start("yard")
	w, err := ledger.NewWriter(&out, head)
	if err != nil {
		t.Fatal(err)
	}
	for {
		f, err := in.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			t.Fatal(err)
		}
		f.Body = changed(t, f, change)
		f, err = head.Next(ledger.Draft{ID: f.ID, Kind: f.Kind, At: f.At, Noted: f.Noted, By: f.By, Via: f.Via, Body: f.Body,
			Supersedes: f.Supersedes, Reason: f.Reason})
		if err != nil {
			t.Fatal(err)
		}
		if err := w.Write(f); err != nil {
			t.Fatal(err)
		}
		head = f.Head()
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

func changed(t *testing.T, f ledger.Fact, change func(e inventory.Entry)) string {
	t.Helper()
	e, err := inventory.DecodeEntry(f.Kind, f.Body)
	if err != nil {
		t.Fatal(err)
	}
	change(e)
	body, err := json.Marshal(e)
	if err != nil {
		t.Fatal(err)
	}
	return string(body)
}
