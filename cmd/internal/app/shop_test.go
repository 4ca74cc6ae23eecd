package app_test

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"strings"
	"sync/atomic"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/jmoiron/sqlx"
	"pgregory.net/rapid"

	"ovenward/cmd/internal/app"
	"ovenward/inventory"
	"ovenward/inventory/ledgerdb"
	"ovenward/inventory/measure"
	"ovenward/inventory/stockdb"
	"ovenward/migrations/db"
	"ovenward/storage/ovendb"
	"ovenward/storage/rules"
)

// tb is what tests and properties have in common.
type tb interface {
	rapid.TB
	Context() context.Context
}

// shop is a rod room whose clock the test sets. Its facts have ids in a row, so
// that one script makes the same ledger wherever it runs.
type shop struct {
	*app.App
	t     tb
	clock *atomic.Int64
	ids   *atomic.Int64
}

// opens is when the shop is set up, 2025-06-05 06:00 in Halifax.
const opens measure.Instant = 1749114000 * 1_000_000

const (
	zone      = "America/Halifax"
	attendant = "A1"
)

// newShop sets up a site with holding ovens H1 and H2 that are hot, a bake oven
// B1, a quiver Q1 and the running clock of the reference rules: four hours for
// E7018 rods.
func newShop(t tb, d *db.DB, site string) *shop {
	t.Helper()
	s := newShopOn(t, d, site)
	set, err := rules.Shipped("reference-running")
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range setUp(set) {
		s.do(e)
	}
	s.hot(opens, opens.Add(3*measure.Day))
	return s
}

// newShopOn is a site with nothing in it.
func newShopOn(t tb, d *db.DB, site string) *shop {
	s := &shop{App: &app.App{DB: d, Site: site, Via: "window"}, t: t, clock: new(atomic.Int64), ids: new(atomic.Int64)}
	s.Now = func() time.Time { return measure.Instant(s.clock.Load()).Time() }
	s.clock.Store(int64(opens))
	return s
}

func setUp(set *rules.Set) []inventory.Entry {
	return []inventory.Entry{
		&inventory.SiteSet{Zone: zone, Units: "SI"},
		&inventory.RulesApproved{ID: set.ID, Edition: set.Edition, Digest: set.Digest, Text: set.Text},
		&inventory.RulesUsed{Rules: set.ID},
		&inventory.PlaceSet{Place: "H1", SortKind: "holding oven"}, &inventory.PlaceSet{Place: "H2", SortKind: "holding oven"},
		&inventory.PlaceSet{Place: "B1", SortKind: "bake oven"}, &inventory.PlaceSet{Place: "Q1", SortKind: "quiver"},
		&inventory.SensorSet{Sensor: "H1", Place: "H1"}, &inventory.SensorSet{Sensor: "H2", Place: "H2"},
	}
}

// hot lets the holding ovens show 130 °C every half hour.
func (s *shop) hot(from, to measure.Instant) {
	s.t.Helper()
	var list []ovendb.Reading
	for at := from; at <= to; at = at.Add(30 * measure.Minute) {
		for _, sensor := range []string{"H1", "H2"} {
			list = append(list, ovendb.Reading{Sensor: sensor, At: at, Temp: measure.Celsius(130)})
		}
	}
	if _, err := s.AddReadings(s.t.Context(), list); err != nil {
		s.t.Fatal(err)
	}
}

// through returns the same shop as seen from another terminal or another handle
// on the database.
func (s *shop) through(via string, d *db.DB) *shop {
	a := *s.App
	a.Via, a.DB = via, d
	other := *s
	other.App = &a
	return &other
}

func (s *shop) pass(d measure.Duration) { s.clock.Add(int64(d)) }

func (s *shop) now() measure.Instant { return measure.Instant(s.clock.Load()) }

// nextID returns an id that was not used before.
func (s *shop) nextID() string { return fmt.Sprintf("01974000-0000-7000-8000-%012x", s.ids.Add(1)) }

// option changes a request before it is made.
type option func(*app.Request)

func by(who string) option                     { return func(r *app.Request) { r.By = who } }
func at(i measure.Instant) option              { return func(r *app.Request) { r.At = i } }
func withID(id string) option                  { return func(r *app.Request) { r.ID = id } }
func since(d measure.Duration) measure.Instant { return opens.Add(d) }

// ask asks for an entry to be recorded.
func (s *shop) ask(e inventory.Entry, options ...option) (app.Done, error) {
	r := app.Request{By: attendant, Entry: e}
	for _, o := range options {
		o(&r)
	}
	if r.ID == "" {
		r.ID = s.nextID()
	}
	return s.Record(s.t.Context(), r)
}

// do records an entry that must be taken.
func (s *shop) do(e inventory.Entry, options ...option) app.Done {
	s.t.Helper()
	done, err := s.ask(e, options...)
	if err != nil {
		s.t.Fatalf("%s %+v: %v", e.Kind(), e, err)
	}
	return done
}

// refuse asks for an entry that must be refused with a code and change nothing.
func (s *shop) refuse(code inventory.Code, e inventory.Entry, options ...option) *inventory.Refusal {
	s.t.Helper()
	return s.unchanged(code, func() error { _, err := s.ask(e, options...); return err })
}

// unchanged runs what must be refused with a code and change nothing.
func (s *shop) unchanged(code inventory.Code, act func() error) *inventory.Refusal {
	s.t.Helper()
	before := s.state()
	err := act()
	ref, ok := errors.AsType[*inventory.Refusal](err)
	if !ok || ref.Code != code {
		s.t.Fatalf("got %v, want a refusal with code %s", err, code)
	}
	if ref.Why == "" || ref.Next == "" {
		s.t.Errorf("refusal %q says neither why nor what next", ref)
	}
	if diff := cmp.Diff(before, s.state()); diff != "" {
		s.t.Errorf("refused with %s, but the database changed (-before +after):\n%s", code, diff)
	}
	return ref
}

// can receives and releases a can of a lot of its own and puts it open into H1.
func (s *shop) can(bundle string, pieces int) {
	s.t.Helper()
	s.sealed(bundle, pieces)
	s.do(&inventory.Opened{Bundle: bundle, Into: "H1"})
}

// sealed receives and releases a can of a lot of its own.
func (s *shop) sealed(bundle string, pieces int) {
	s.t.Helper()
	s.do(received("LOT-"+bundle, bundle, pieces))
	s.do(&inventory.LotReleased{Lot: "LOT-" + bundle})
}

func received(lot, bundle string, pieces int) *inventory.Received {
	return &inventory.Received{Lot: lot, Class: "E7018", Diameter: "1/8 in", Length: "14 in", Package: "hermetic can",
		Bundle: bundle, Pieces: inventory.Count(pieces)}
}

func issue(slip, bundle string, pieces int) *inventory.Issued {
	return &inventory.Issued{Slip: slip, Bundle: bundle, Pieces: inventory.Count(pieces), Welder: "W3", Joints: []string{"J-101"}}
}

// bundle returns a bundle as it stands.
func (s *shop) bundle(code string) inventory.Bundle {
	s.t.Helper()
	var b inventory.Bundle
	s.read(func(tx *sqlx.Tx) (err error) {
		b, err = stockdb.Bundle(s.t.Context(), tx, s.Site, code)
		return err
	})
	return b
}

// slip returns a slip as it stands.
func (s *shop) slip(code string) inventory.Slip {
	s.t.Helper()
	look, err := s.Slip(s.t.Context(), code, 0)
	if err != nil {
		s.t.Fatal(err)
	}
	return look.Slip
}

func (s *shop) read(fn func(tx *sqlx.Tx) error) {
	s.t.Helper()
	if err := s.DB.Read(s.t.Context(), fn); err != nil {
		s.t.Fatal(err)
	}
}

// state is everything that the database holds of the site, as text.
func (s *shop) state() []string {
	s.t.Helper()
	var out []string
	s.read(func(tx *sqlx.Tx) error {
		head, err := ledgerdb.Head(s.t.Context(), tx, s.Site)
		if err != nil {
			return err
		}
		out = []string{fmt.Sprintf("head %d %s", head.Seq, head.Hash)}
		return stockdb.Dump(s.t.Context(), tx, s.Site, func(r stockdb.Row) error {
			out = append(out, r.Table+" "+r.Text)
			return nil
		})
	})
	return out
}

// sound fails unless the chain holds and everything stored follows from it.
func (s *shop) sound() app.Verified {
	s.t.Helper()
	v, err := s.Verify(s.t.Context())
	if err != nil {
		s.t.Fatalf("Verify: %v", err)
	}
	if len(v.Differences) > 0 {
		s.t.Fatalf("what is stored does not follow from the facts:\n%s", strings.Join(v.Differences, "\n"))
	}
	return v
}

func asRefusal(err error) (*inventory.Refusal, bool) { return errors.AsType[*inventory.Refusal](err) }

// values are new values for a correction: a name, its value, and so on.
func values(pairs ...any) map[string]json.RawMessage {
	out := map[string]json.RawMessage{}
	for i := 0; i < len(pairs); i += 2 {
		raw, err := json.Marshal(pairs[i+1])
		if err != nil {
			panic(err)
		}
		out[pairs[i].(string)] = raw
	}
	return out
}

// wantState fails unless the database is as it was.
func (s *shop) wantState(before []string) {
	s.t.Helper()
	if diff := cmp.Diff(before, s.state()); diff != "" {
		s.t.Errorf("the database changed (-before +after):\n%s", diff)
	}
}

// realTimeShop is a shop by this machine's clock with a great many rods in K1.
func realTimeShop(t tb, d *db.DB) *shop {
	t.Helper()
	s := newShop(t, d, "yard")
	now := measure.At(time.Now())
	s.clock.Store(int64(now))
	s.Now = time.Now
	s.hot(now.Add(-measure.Hour), now.Add(measure.Hour))
	s.can("K1", 1_000_000)
	return s
}
