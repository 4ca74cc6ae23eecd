package app_test

import (
	"encoding/json"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/jmoiron/sqlx"

	"ovenward/cmd/internal/app"
	"ovenward/inventory"
	"ovenward/inventory/ledger"
	"ovenward/inventory/ledgerdb"
	"ovenward/inventory/measure"
	"ovenward/migrations/db"
	"ovenward/migrations/db/dbtest"
)

// morning is a shop in which 40 rods of K1 went out on S1 at +1 h and 18 of them
// came back into H1 as R1 at +3 h.
type morning struct {
	*shop
	can, released, out, back string // ids
}

func newMorning(t *testing.T, d *db.DB, site string) *morning {
	t.Helper()
	m := &morning{shop: newShop(t, d, site)}
	m.can = m.do(received("7B21", "K1", 150)).Fact.ID
	m.released = m.do(&inventory.LotReleased{Lot: "7B21"}).Fact.ID
	m.do(&inventory.Opened{Bundle: "K1", Into: "H1"})
	m.do(received("7B22", "K2", 60))
	m.do(&inventory.LotReleased{Lot: "7B22"})
	m.do(&inventory.Opened{Bundle: "K2", Into: "H1"})
	m.pass(measure.Hour)
	m.out = m.do(issue("S1", "K1", 40)).Fact.ID
	m.pass(2 * measure.Hour)
	m.back = m.do(&inventory.Returned{Slip: "S1", Unused: 18, Stubs: 22, Into: "H1", As: "R1"}).Fact.ID
	m.pass(measure.Hour)
	return m
}

// correct records a correction that must be taken.
func (s *shop) correct(c app.Correction) app.Done {
	s.t.Helper()
	done, err := s.Correct(s.t.Context(), s.corrected(c))
	if err != nil {
		s.t.Fatalf("correct %+v: %v", c, err)
	}
	return done
}

// corrected completes a correction.
func (s *shop) corrected(c app.Correction) app.Correction {
	c.ID = s.nextID()
	if c.By == "" {
		c.By = "QA"
	}
	if c.Reason == "" {
		c.Reason = "counted again"
	}
	return c
}

// exposure is how long a bundle has been exposed at least and at most.
func (s *shop) exposure(code string) string {
	s.t.Helper()
	l, err := s.At(s.t.Context(), code, 0, "")
	if err != nil {
		s.t.Fatal(err)
	}
	return l.Judgement.Most.String()
}

func TestCorrectionIsAsIfItHadBeenEnteredRight(t *testing.T) {
	t.Parallel()
	type wanted struct {
		k1, k2, r1 int64  // pieces
		exposed    string // of R1, h:mm
		slip       int64  // pieces on S1
		from       string // where S1 was taken from
	}
	cases := []struct {
		name    string
		correct func(m *morning) app.Correction
		want    wanted
	}{
		{"nothing", nil, wanted{110, 60, 18, "2:00", 40, "K1"}},
		{"time of the issue", func(m *morning) app.Correction {
			return app.Correction{Fact: m.out, At: since(30 * measure.Minute)}
		}, wanted{110, 60, 18, "2:30", 40, "K1"}},
		{"time of the return", func(m *morning) app.Correction {
			return app.Correction{Fact: m.back, At: since(2 * measure.Hour)}
		}, wanted{110, 60, 18, "1:00", 40, "K1"}},
		{"pieces of the issue", func(m *morning) app.Correction {
			return app.Correction{Fact: m.out, Values: values("pieces", 45)}
		}, wanted{105, 60, 18, "2:00", 45, "K1"}},
		{"bundle of the issue, of another lot", func(m *morning) app.Correction {
			return app.Correction{Fact: m.out, Values: values("bundle", "K2")}
		}, wanted{150, 20, 18, "2:00", 40, "K2"}},
		{"counts of the return", func(m *morning) app.Correction {
			return app.Correction{Fact: m.back, Values: values("unused", 20, "stubs", 15, "damaged", 5)}
		}, wanted{110, 60, 20, "2:00", 40, "K1"}},
		{"pieces that came", func(m *morning) app.Correction {
			return app.Correction{Fact: m.can, Values: values("pieces", 200)}
		}, wanted{160, 60, 18, "2:00", 40, "K1"}},
		{"lot that came", func(m *morning) app.Correction {
			m.correct(app.Correction{Fact: m.released, Void: true}) // nothing of that lot is here then
			return app.Correction{Fact: m.can, Values: values("lot", "7B22")}
		}, wanted{110, 60, 18, "2:00", 40, "K1"}},
		{"a correction, back to what it was", func(m *morning) app.Correction {
			first := m.correct(app.Correction{Fact: m.out, Values: values("pieces", 45)})
			return app.Correction{Fact: first.Fact.ID, Values: values("pieces", 40)}
		}, wanted{110, 60, 18, "2:00", 40, "K1"}},
		{"a correction, named by the first fact", func(m *morning) app.Correction {
			m.correct(app.Correction{Fact: m.out, Values: values("pieces", 45)})
			return app.Correction{Fact: m.out, Values: values("pieces", 50)}
		}, wanted{100, 60, 18, "2:00", 50, "K1"}},
	}
	dbtest.Whole(t, func(t *testing.T, open func() *db.DB) {
		t.Parallel()
		d := open()
		for _, c := range cases {
			t.Run(c.name, func(t *testing.T) {
				m := newMorning(t, d, c.name)
				if c.correct != nil {
					m.correct(c.correct(m))
				}
				s1 := m.slip("S1")
				got := wanted{m.bundle("K1").Pieces, m.bundle("K2").Pieces, m.bundle("R1").Pieces, m.exposure("R1"), s1.Pieces, s1.Bundle}
				if diff := cmp.Diff(c.want, got, cmp.AllowUnexported(wanted{})); diff != "" {
					t.Errorf("after the correction (-want +got):\n%s", diff)
				}
				m.sound()
			})
		}
	})
}

func TestVoidTakesAFactBack(t *testing.T) {
	t.Parallel()
	dbtest.Whole(t, func(t *testing.T, open func() *db.DB) {
		t.Parallel()
		m := newMorning(t, open(), "yard")
		m.unchanged(inventory.ImpossibleOrder, func() error { // its return would be of nothing
			_, err := m.Correct(t.Context(), m.corrected(app.Correction{Fact: m.out, Void: true}))
			return err
		})
		m.correct(app.Correction{Fact: m.back, Void: true})
		if s := m.slip("S1"); s.Closed != 0 || s.Back != (inventory.Balance{}) {
			t.Errorf("without its return the slip is closed at %v with %+v, want open", s.Closed, s.Back)
		}
		m.correct(app.Correction{Fact: m.out, Void: true})
		if got := m.bundle("K1").Pieces; got != 150 {
			t.Errorf("%d in K1 without the issue, want 150", got)
		}
		m.refuse(inventory.Unknown, &inventory.Returned{Slip: "S1", Unused: 1, Into: "H1"})
		m.sound()
	})
}

// Whatever a correction would make impossible, it is refused and nothing is
// written.
func TestContradictingCorrectionIsRefused(t *testing.T) {
	t.Parallel()
	cases := []struct {
		name string
		fact func(m *morning) app.Correction
		want inventory.Code
	}{
		{"issue after its return", func(m *morning) app.Correction {
			return app.Correction{Fact: m.out, At: since(3*measure.Hour + 1)}
		}, inventory.ImpossibleOrder},
		{"return before its issue", func(m *morning) app.Correction {
			return app.Correction{Fact: m.back, At: since(59 * measure.Minute)}
		}, inventory.ImpossibleOrder},
		{"issue before the can came", func(m *morning) app.Correction { return app.Correction{Fact: m.out, At: opens - 1} }, inventory.ImpossibleOrder},
		{"can after it was opened", func(m *morning) app.Correction {
			return app.Correction{Fact: m.can, At: since(measure.Minute)}
		}, inventory.ImpossibleOrder},
		{"in the future", func(m *morning) app.Correction { return app.Correction{Fact: m.out, At: m.now() + 1} }, inventory.Future},
		{"more out than there was", func(m *morning) app.Correction {
			return app.Correction{Fact: m.out, Values: values("pieces", 151)}
		}, inventory.NotEnough},
		{"fewer came than went out", func(m *morning) app.Correction {
			return app.Correction{Fact: m.can, Values: values("pieces", 39)}
		}, inventory.ImpossibleOrder},
		{"fewer out than came back", func(m *morning) app.Correction {
			return app.Correction{Fact: m.out, Values: values("pieces", 39)}
		}, inventory.ImpossibleOrder},
		{"more back than went out", func(m *morning) app.Correction {
			return app.Correction{Fact: m.back, Values: values("unused", 19)}
		}, inventory.BalanceCode},
		{"none out", func(m *morning) app.Correction { return app.Correction{Fact: m.out, Values: values("pieces", 0)} }, inventory.Unit},
		{"less than none", func(m *morning) app.Correction { return app.Correction{Fact: m.out, Values: values("pieces", -1)} }, inventory.Unit},
		{"a bundle that there is not", func(m *morning) app.Correction {
			return app.Correction{Fact: m.out, Values: values("bundle", "K9")}
		}, inventory.Unknown},
		{"a place that there is not", func(m *morning) app.Correction {
			return app.Correction{Fact: m.back, Values: values("into", "H9")}
		}, inventory.Unknown},
		{"a field that there is not", func(m *morning) app.Correction {
			return app.Correction{Fact: m.out, Values: values("rods", 40)}
		}, inventory.Unknown},
		{"a name that another has", func(m *morning) app.Correction {
			return app.Correction{Fact: m.back, Values: values("as", "K2")}
		}, inventory.Duplicate},
		{"another name than its return says", func(m *morning) app.Correction {
			return app.Correction{Fact: m.out, Values: values("slip", "S7")}
		}, inventory.ImpossibleOrder},
		{"the judgement of then", func(m *morning) app.Correction {
			return app.Correction{Fact: m.out, Values: map[string]json.RawMessage{"judged": json.RawMessage(`{"verdict":"ready"}`)}}
		}, inventory.Unknown},
		{"nothing", func(m *morning) app.Correction { return app.Correction{Fact: m.out, Values: values("pieces", 40)} }, inventory.Duplicate},
		{"a fact that there is not", func(*morning) app.Correction { return app.Correction{Fact: oneID, Void: true} }, inventory.Unknown},
		{"the site", func(m *morning) app.Correction {
			return app.Correction{Fact: "01974000-0000-7000-8000-000000000001", Void: true}
		}, inventory.Unknown},
		{"no reason", func(m *morning) app.Correction { return app.Correction{Fact: m.out, Reason: "  ", Void: true} }, inventory.Unknown},
		{"nobody", func(m *morning) app.Correction { return app.Correction{Fact: m.out, By: " ", Void: true} }, inventory.NotAuthorised},
	}
	dbtest.Whole(t, func(t *testing.T, open func() *db.DB) {
		t.Parallel()
		d := open()
		for _, c := range cases {
			t.Run(c.name, func(t *testing.T) {
				m := newMorning(t, d, c.name)
				correction := m.corrected(c.fact(m))
				m.unchanged(c.want, func() error { _, err := m.Correct(t.Context(), correction); return err })
				m.sound()
			})
		}
	})
}

// Rules do not undo what has happened: an issue that would have been refused is
// put right all the same, with a warning.
func TestRulesOnlyWarnOfWhatHasHappened(t *testing.T) {
	t.Parallel()
	dbtest.Whole(t, func(t *testing.T, open func() *db.DB) {
		t.Parallel()
		s := newShop(t, open(), "yard")
		s.can("K1", 100)
		s.do(&inventory.Moved{Bundle: "K1", Pieces: 40, Into: "open air", As: "A1"})
		s.pass(5 * measure.Hour)
		s.refuse(inventory.OverLimit, issue("S1", "A1", 10))
		out := s.do(issue("S1", "K1", 10)).Fact.ID
		s.pass(measure.Minute)
		done := s.correct(app.Correction{Fact: out, Values: values("bundle", "A1"), Reason: "taken from the bench"})
		if !slices.ContainsFunc(done.Warnings, func(w string) bool { return strings.Contains(w, "limit 4 h") }) {
			t.Errorf("warnings %q, want one of the limit", done.Warnings)
		}
		if got := s.bundle("A1").Pieces; got != 30 {
			t.Errorf("%d left on the bench, want 30", got)
		}
		s.sound()
	})
}

// Every value that ever stood can be read again, with who, when and why.
func TestEveryEarlierValueStaysInTheLedger(t *testing.T) {
	t.Parallel()
	dbtest.Whole(t, func(t *testing.T, open func() *db.DB) {
		t.Parallel()
		m := newMorning(t, open(), "yard")
		entered := []int{40}
		for n := 41; n <= 60; n++ {
			m.pass(measure.Minute)
			m.correct(app.Correction{Fact: m.out, Values: values("pieces", n), By: "QA", Reason: "count " + string(rune('A'+n-41))})
			entered = append(entered, n)
		}
		chain := m.chain(m.out)
		var got []int
		for i, f := range chain {
			e, err := inventory.DecodeEntry(f.Kind, f.Body)
			if err != nil {
				t.Fatal(err)
			}
			got = append(got, int(e.(*inventory.Issued).Pieces))
			if i > 0 && (f.By != "QA" || f.Reason == "" || f.Supersedes != chain[i-1].ID || f.Noted <= chain[i-1].Noted) {
				t.Errorf("correction %d says by %q, because %q, of %q, at %v", i, f.By, f.Reason, f.Supersedes, f.Noted)
			}
		}
		if diff := cmp.Diff(entered, got); diff != "" {
			t.Errorf("values in the ledger (-entered +found):\n%s", diff)
		}
		if s := m.slip("S1"); s.Pieces != 60 || s.By != attendant {
			t.Errorf("the slip says %d rods by %s, want 60 by the one who handed them out", s.Pieces, s.By)
		}
	})
}

// chain returns a fact and its corrections, in order.
func (s *shop) chain(id string) (chain []ledger.Fact) {
	s.t.Helper()
	s.read(func(tx *sqlx.Tx) error {
		f, err := ledgerdb.ByID(s.t.Context(), tx, s.Site, id)
		chain = nil
		for more := true; more && err == nil; {
			chain = append(chain, f)
			f, more, err = ledgerdb.SupersededBy(s.t.Context(), tx, s.Site, f.ID)
		}
		return err
	})
	return chain
}

// A correction that is sent again is recorded once.
func TestSameCorrectionIsOneFact(t *testing.T) {
	t.Parallel()
	dbtest.Whole(t, func(t *testing.T, open func() *db.DB) {
		t.Parallel()
		m := newMorning(t, open(), "yard")
		c := m.corrected(app.Correction{Fact: m.out, Values: values("pieces", 45)})
		first, err := m.Correct(t.Context(), c)
		if err != nil {
			t.Fatal(err)
		}
		after := m.state()
		again, err := m.Correct(t.Context(), c)
		if err != nil || !again.Repeat || again.Fact != first.Fact {
			t.Errorf("sent again: %+v, %v; want the first outcome", again, err)
		}
		c.ID = m.out
		m.unchanged(inventory.Duplicate, func() error { _, err := m.Correct(t.Context(), c); return err })
		m.wantState(after)
	})
}
