package app_test

import (
	"fmt"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/jmoiron/sqlx"
	"pgregory.net/rapid"

	"ovenward/cmd/internal/app"
	"ovenward/inventory"
	"ovenward/inventory/ledger"
	"ovenward/inventory/ledgerdb"
	"ovenward/inventory/measure"
	"ovenward/inventory/stockdb"
	"ovenward/migrations/db"
	"ovenward/migrations/db/dbtest"
)

// Whatever is asked for, in time, late or as a correction: of every lot what was
// received is what lies in bundles, is out, was used, was scrapped or was found
// missing by a count, a refusal changes nothing, and what is stored follows from
// the facts.
func TestNothingIsLostOrMadeUp(t *testing.T) {
	t.Parallel()
	dbtest.Whole(t, func(t *testing.T, open func() *db.DB) {
		t.Parallel()
		d, sites := open(), 0
		most := map[db.Engine]int{db.SQLite: 40, db.Postgres: 15}[d.Engine()] // a server takes its time over each
		rapid.Check(t, func(t *rapid.T) {
			sites++
			w := newWork(t, d, fmt.Sprintf("site-%d", sites))
			for range rapid.IntRange(5, most).Draw(t, "acts") {
				w.act(t)
				w.balanced(t)
			}
			w.sound()
		})
	})
}

// work is a shop in which anything may be asked for.
type work struct {
	*shop
	facts []fact
	taken int
}

// fact is what was recorded about stock.
type fact struct{ id, kind string }

var lots = []string{"7B21", "7B22"}

// newWork is a shop with a can of each lot in H1.
func newWork(t tb, d *db.DB, site string) *work {
	w := &work{shop: newShop(t, d, site)}
	for _, lot := range lots {
		in := w.do(received(lot, "", 30)).Entry.(*inventory.Received)
		w.do(&inventory.LotReleased{Lot: lot})
		w.do(&inventory.Opened{Bundle: in.Bundle, Into: "H1"})
	}
	return w
}

// act asks for one random thing. What is refused changes nothing, and nothing
// fails.
func (w *work) act(t *rapid.T) {
	w.pass(measure.Duration(rapid.IntRange(0, 40).Draw(t, "minutes"))*measure.Minute + 6*measure.Second) // no second scan
	w.tried(t, w.draw(t))
}

// draw makes up one random thing to ask for, of this shop or of one like it.
func (w *work) draw(t *rapid.T) func(*work) (app.Done, error) {
	if len(w.facts) > 0 && rapid.IntRange(0, 4).Draw(t, "correct") == 0 {
		c := w.correction(t)
		return func(w *work) (app.Done, error) { return w.Correct(w.t.Context(), w.corrected(c)) }
	}
	e := w.entry(t)
	var options []option
	if rapid.IntRange(0, 3).Draw(t, "late") == 0 {
		options = append(options, at(w.earlier(t)))
	}
	return func(w *work) (app.Done, error) { return w.ask(e, options...) }
}

func (w *work) tried(t *rapid.T, act func(*work) (app.Done, error)) {
	before := w.state()
	done, err := act(w)
	if err == nil {
		w.noted(done)
		return
	}
	if _, ok := asRefusal(err); !ok {
		t.Fatalf("neither taken nor refused: %v", err)
	}
	if diff := cmp.Diff(before, w.state()); diff != "" {
		t.Fatalf("refused (%v), but changed (-before +after):\n%s", err, diff)
	}
}

// noted remembers what was recorded, to be corrected later.
func (w *work) noted(done app.Done) {
	w.taken++
	w.facts = append(w.facts, fact{done.Fact.ID, done.Fact.Kind})
}

func (w *work) earlier(t *rapid.T) measure.Instant {
	back := rapid.IntRange(1, 6*60).Draw(t, "back")
	return max(opens, w.now().Add(-measure.Duration(back)*measure.Minute))
}

// bundles returns every bundle there ever was, twice those that are not empty.
func (w *work) bundles() (out []string) {
	w.read(func(tx *sqlx.Tx) error {
		out = nil
		for _, lot := range lots {
			list, err := stockdb.LotBundles(w.t.Context(), tx, w.Site, lot)
			if err != nil {
				return err
			}
			for _, b := range list {
				out = append(out, b.Code)
				if !b.Empty() {
					out = append(out, b.Code, b.Code)
				}
			}
		}
		return nil
	})
	return out
}

// slips returns every slip there ever was, twice those that are open.
func (w *work) slips() (out []string) {
	w.read(func(tx *sqlx.Tx) error {
		out = nil
		for _, lot := range lots {
			list, err := stockdb.LotSlips(w.t.Context(), tx, w.Site, lot)
			if err != nil {
				return err
			}
			for _, s := range list {
				out = append(out, s.Code)
				if s.Closed == 0 {
					out = append(out, s.Code, s.Code)
				}
			}
		}
		return nil
	})
	return out
}

var places = []string{"H1", "H1", "H2", "store", "open air", "Q1"}

// kinds of entry, each as often as it is asked for.
var kinds = []string{"issue", "return", "split", "issue", "return", "join", "count", "issue", "return", "move", "receive", "issue",
	"return", "scrap", "split", "join", "hold", "release", "wet", "bake", "open"}

// entry makes up something to record; often it cannot be.
func (w *work) entry(t *rapid.T) inventory.Entry {
	count := func(name string, most int) inventory.Count {
		return inventory.Count(rapid.IntRange(0, most).Draw(t, name))
	}
	lot := rapid.SampledFrom(lots).Draw(t, "lot")
	bundles := w.bundles()
	bundle := rapid.SampledFrom(bundles).Draw(t, "bundle")
	into := rapid.SampledFrom(places).Draw(t, "into")
	kind := rapid.SampledFrom(kinds).Draw(t, "kind")
	switch kind {
	case "receive":
		return received(lot, "", int(count("pieces", 20)))
	case "release":
		return &inventory.LotReleased{Lot: lot}
	case "hold":
		return &inventory.HeldBack{Bundle: bundle, Why: "dented"}
	case "open":
		return &inventory.Opened{Bundle: bundle, Into: "H1"}
	case "issue":
		holder := rapid.SampledFrom([]string{"", "Q1"}).Draw(t, "holder")
		return &inventory.Issued{Bundle: bundle, Pieces: count("pieces", 9), Welder: "W3", Holder: holder}
	case "move":
		return &inventory.Moved{Bundle: bundle, Into: into}
	case "split":
		return &inventory.Moved{Bundle: bundle, Into: into, Pieces: count("pieces", 9)}
	case "join":
		return &inventory.Joined{Bundles: rapid.SliceOfNDistinct(rapid.SampledFrom(bundles), 2, 3, rapid.ID).Draw(t, "bundles")}
	case "scrap":
		return &inventory.Scrapped{Bundle: bundle, Pieces: count("pieces", 3)}
	case "wet":
		return &inventory.WentWet{Bundle: bundle}
	case "bake":
		return &inventory.Baked{Bundle: bundle, Place: "B1", Set: "300 C"}
	case "return":
		if slips := w.slips(); len(slips) > 0 {
			return &inventory.Returned{Slip: rapid.SampledFrom(slips).Draw(t, "slip"), Unused: count("unused", 6), Stubs: count("stubs", 2),
				Damaged: count("damaged", 1), Unidentified: count("unidentified", 1), Into: into}
		}
	}
	return &inventory.Counted{Bundle: bundle, Pieces: count("pieces", 20)}
}

// wrong are the fields that a correction puts right, by kind of fact.
var wrong = map[string][]string{"receive": {"pieces", "lot"}, "open": {"bundle"}, "issue": {"pieces", "pieces", "bundle"},
	"return": {"unused", "unused", "stubs", "into"}, "move": {"pieces", "into", "bundle"}, "scrap": {"pieces"}, "count": {"pieces"},
	"wet": {"bundle"}, "bake": {"bundle"}, "join": {"as"}}

// correction makes up a correction; many contradict what else is known.
func (w *work) correction(t *rapid.T) app.Correction {
	f := rapid.SampledFrom(w.facts).Draw(t, "fact")
	c := app.Correction{Fact: f.id}
	switch what := rapid.SampledFrom(append(wrong[f.kind], "time", "time", "void")).Draw(t, "correction"); what {
	case "time":
		c.At = w.earlier(t)
	case "void":
		c.Void = true
	case "bundle":
		c.Values = values(what, rapid.SampledFrom(append(w.bundles(), "none")).Draw(t, what))
	case "into":
		c.Values = values(what, rapid.SampledFrom(places).Draw(t, what))
	case "lot":
		c.Values = values(what, rapid.SampledFrom(lots).Draw(t, what))
	case "as":
		c.Values = values(what, rapid.SampledFrom([]string{"J1", "J2"}).Draw(t, what))
	default:
		c.Values = values(what, rapid.IntRange(0, 30).Draw(t, what))
	}
	return c
}

// balanced checks every lot against what the facts say was received.
func (w *work) balanced(t *rapid.T) {
	came := w.came(t)
	for _, lot := range lots {
		b := w.books(lot)
		if b.sum() != came[lot] {
			t.Fatalf("lot %s: %d received, but %+v", lot, came[lot], b)
		}
		for _, bundle := range b.bundles {
			if bundle.Pieces < 0 {
				t.Fatalf("%d pieces in %s", bundle.Pieces, bundle.Code)
			}
		}
	}
}

// came returns the pieces received of each lot, by the facts as they stand.
func (w *work) came(t *rapid.T) map[string]int64 {
	standing := map[string]ledger.Fact{}
	w.read(func(tx *sqlx.Tx) error {
		clear(standing)
		return ledgerdb.Each(w.t.Context(), tx, w.Site, 0, func(f ledger.Fact) error {
			delete(standing, f.Supersedes)
			standing[f.ID] = f
			return nil
		})
	})
	out := map[string]int64{}
	for _, f := range standing {
		e, err := inventory.DecodeEntry(f.Kind, f.Body)
		if err != nil {
			t.Fatal(err)
		}
		if r, ok := e.(*inventory.Received); ok {
			out[r.Lot] += int64(r.Pieces)
		}
	}
	return out
}

// books is where the pieces of a lot are.
type books struct {
	bundles                       []inventory.Bundle
	here, out, used, spoilt, lost int64
}

func (b books) sum() int64 { return b.here + b.out + b.used + b.spoilt + b.lost }

func (w *work) books(lot string) (b books) {
	w.read(func(tx *sqlx.Tx) (err error) {
		b = books{}
		if b.bundles, err = stockdb.LotBundles(w.t.Context(), tx, w.Site, lot); err != nil {
			return err
		}
		slips, err := stockdb.LotSlips(w.t.Context(), tx, w.Site, lot)
		if err != nil {
			return err
		}
		losses, err := stockdb.Losses(w.t.Context(), tx, w.Site, lot)
		b.add(slips, losses)
		return err
	})
	return b
}

func (b *books) add(slips []inventory.Slip, losses []stockdb.Loss) {
	out := map[string]int64{}
	for _, bundle := range b.bundles {
		if bundle.Slip == "" {
			b.here += bundle.Pieces
		} else {
			out[bundle.Slip] += bundle.Pieces
			b.out += bundle.Pieces
		}
	}
	for _, s := range slips {
		b.spoilt += s.Back.Damaged + s.Back.Unidentified
		b.used += s.Back.Used(s.Pieces) - out[s.Code]
	}
	for _, l := range losses {
		b.lost += l.Pieces
	}
}
