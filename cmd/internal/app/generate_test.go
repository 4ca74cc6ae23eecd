package app_test

import (
	"encoding/json"
	"fmt"
	"io"
	"testing"

	"ovenward/inventory"
	"ovenward/inventory/ledger"
	"ovenward/inventory/measure"
	"ovenward/migrations/db"
	"ovenward/storage/rules"
)

// generated loads a shop with a ledger of about n facts: lot after lot of one
// can, handed out and taken back a hundred times. A bundle NEW is ready in H1.
func generated(b testing.TB, d *db.DB, n int) *shop {
	b.Helper()
	s := newShopOn(b, d, "yard")
	in, out := io.Pipe()
	written := make(chan error, 1)
	var last measure.Instant
	go func() {
		var err error
		last, err = generate(out, n)
		written <- err
		out.CloseWithError(err)
	}()
	if _, err := s.Load(b.Context(), in); err != nil {
		b.Fatal(err)
	}
	if err := <-written; err != nil {
		b.Fatal(err)
	}
	s.ids.Store(1 << 40) // apart from the generated ones
	s.clock.Store(int64(last))
	s.hot(last.Add(-5*measure.Day), last.Add(measure.Day))
	s.can("NEW", 10_000_000)
	return s
}

const (
	turns    = 100         // issues of a can
	lotFacts = 3 + 2*turns // received, released, opened, and two for each turn
)

// generator writes facts one after the other.
type generator struct {
	out  *ledger.Writer
	head ledger.Head
	at   measure.Instant
}

// generate writes a ledger of about n facts and returns when its last happened.
func generate(w io.Writer, n int) (measure.Instant, error) {
	g := &generator{head: ledger.Start("yard"), at: opens}
	var err error
	if g.out, err = ledger.NewWriter(w, g.head); err != nil {
		return 0, err
	}
	set, err := rules.Shipped("reference-running")
	if err != nil {
		return 0, err
	}
	for _, e := range setUp(set) {
		if err := g.put(e); err != nil {
			return 0, err
		}
	}
	for lot := range n / lotFacts {
		if err := g.lot(lot); err != nil {
			return 0, err
		}
	}
	return g.at, g.out.Close()
}

// lot writes the life of one can.
func (g *generator) lot(n int) error {
	lot, can := fmt.Sprintf("L%d", n), fmt.Sprintf("K%d", n)
	in := received(lot, can, 40*turns)
	in.Into = inventory.Store
	for _, e := range []inventory.Entry{
		in, &inventory.LotReleased{Lot: lot}, &inventory.Opened{Bundle: can, Into: "H1"},
	} {
		if err := g.put(e); err != nil {
			return err
		}
	}
	for turn := range turns {
		slip := fmt.Sprintf("%s-%d", can, turn)
		out := issue(slip, can, 30)
		out.Holder = "open air"
		out.Judged = &inventory.Judged{Rules: "reference-running", Edition: "1", Row: "e70", Verdict: inventory.Ready,
			Why: "at temperature", Least: "0:00", Most: "0:00", Limit: "4:00"}
		back := &inventory.Returned{Slip: slip, Unused: 10, Stubs: 20, Into: "H1", As: slip + "-back"}
		for _, e := range []inventory.Entry{out, back} {
			if err := g.put(e); err != nil {
				return err
			}
		}
	}
	return nil
}

// put writes a fact half a minute after the one before.
func (g *generator) put(e inventory.Entry) error {
	body, err := json.Marshal(e)
	if err != nil {
		return err
	}
	g.at = g.at.Add(30 * measure.Second)
	f, err := g.head.Next(ledger.Draft{ID: fmt.Sprintf("01974000-0000-7000-8000-%012x", g.head.Seq+1), Kind: e.Kind(), At: g.at,
		Noted: g.at, By: attendant, Via: "window", Body: string(body)})
	if err != nil {
		return err
	}
	g.head = f.Head()
	return g.out.Write(f)
}
