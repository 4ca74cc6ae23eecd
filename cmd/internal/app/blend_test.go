package app_test

import (
	"fmt"
	"slices"
	"testing"

	"github.com/jmoiron/sqlx"
	"pgregory.net/rapid"

	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/inventory/stockdb"
	"ovenward/migrations/db"
	"ovenward/migrations/db/dbtest"
	"ovenward/storage/rules"
)

// Whatever is reclaimed and blended, of blends again too: every microgram that
// was received lies in some bundle, a blend is as heavy as what went into it, and
// a blend traces back to each lot that is in it and each lot on to the blend
// (C70).
func TestBlendsKeepTheirMassAndTheirInputs(t *testing.T) {
	t.Parallel()
	dbtest.Whole(t, func(t *testing.T, open func() *db.DB) {
		t.Parallel()
		d, loads := open(), 0
		y := newYard(t, d)
		most := map[db.Engine]int{db.SQLite: 6, db.Postgres: 3}[d.Engine()] // a server takes its time over each
		rapid.Check(t, func(t *rapid.T) {
			loads++
			y.load(loads)
			for range rapid.IntRange(1, most).Draw(t, "acts") {
				if rapid.Bool().Draw(t, "blend") {
					y.blend(t)
				} else {
					y.reclaim(t)
				}
			}
			y.conserved(t)
		})
		y.sound()
	})
}

// yard is a shop with flux, and what is known of the bags that came last.
type yard struct {
	*shop
	bundles  []string
	received measure.Mass
	made     map[string][]string // lots that are in a blend's lot, by it
}

func newYard(t tb, d *db.DB) *yard {
	t.Helper()
	y := &yard{shop: newShopOn(t, d, "yard")}
	set, err := rules.Shipped("example-maker")
	if err != nil {
		t.Fatal(err)
	}
	blends := "\n[[blend]]\nrow = \"any\"\nfamily = [\"saw-flux\"]\nnew_min_percent = 1\nauthority = \"shop\"\nsource = \"the shop\"\nstatus = \"shop\"\n"
	if set, err = rules.Parse("yard.toml", []byte(set.Text+blends)); err != nil {
		t.Fatal(err)
	}
	for _, e := range setUp(set) {
		y.do(e)
	}
	return y
}

// load receives three bags of lots of their own.
func (y *yard) load(n int) {
	y.t.Helper()
	y.bundles, y.received, y.made = nil, 0, map[string][]string{}
	for _, mass := range []string{"25 kg", "50 lb", "12.5 kg"} {
		lot := fmt.Sprintf("FX-%d-%d", n, len(y.bundles))
		in := y.do(&inventory.Received{Lot: lot, Class: "F7A2-EM12K", Package: "bag", Mass: mass}).Entry.(*inventory.Received)
		y.do(&inventory.LotReleased{Lot: lot})
		y.do(&inventory.Opened{Bundle: in.Bundle})
		y.bundles = append(y.bundles, in.Bundle)
		y.received += y.bundle(in.Bundle).Mass
	}
}

// some draws a part of what is in a bundle, or all of it.
func (y *yard) some(t *rapid.T, bundle string) string {
	all := y.bundle(bundle).Mass
	if rapid.IntRange(0, 3).Draw(t, "all") == 0 {
		return ""
	}
	return measure.Mass(rapid.Int64Range(1, max(int64(all), 1)).Draw(t, "part")).Exact()
}

func (y *yard) blend(t *rapid.T) {
	e := &inventory.Blended{}
	for _, b := range y.bundles {
		if rapid.Bool().Draw(t, "takes "+b) {
			e.Inputs = append(e.Inputs, inventory.BlendInput{Bundle: b, Mass: y.some(t, b)})
		}
	}
	y.tried(t, e, func(done inventory.Entry) string {
		e := done.(*inventory.Blended)
		lots := []string{}
		for _, in := range e.Inputs {
			lot := y.bundle(in.Bundle).Lot
			lots = append(append(lots, lot), y.made[lot]...)
		}
		slices.Sort(lots)
		y.made[e.Lot] = slices.Compact(lots)
		return e.As
	})
}

func (y *yard) reclaim(t *rapid.T) {
	b := rapid.SampledFrom(y.bundles).Draw(t, "of")
	e := &inventory.Reclaimed{Bundle: b, Mass: y.some(t, b)}
	y.tried(t, e, func(done inventory.Entry) string { return done.(*inventory.Reclaimed).As })
}

// tried asks for an entry and takes in the bundle that it made; what is refused
// makes none.
func (y *yard) tried(t *rapid.T, e inventory.Entry, made func(inventory.Entry) string) {
	y.pass(measure.Minute) // else the same asked again is taken for a second scan of it
	done, err := y.ask(e)
	if _, refused := asRefusal(err); refused {
		return
	}
	if err != nil {
		t.Fatalf("%s: %v", e.Kind(), err)
	}
	y.bundles = append(y.bundles, made(done.Entry))
}

func (y *yard) conserved(t *rapid.T) {
	var here measure.Mass
	for _, code := range y.bundles {
		here += y.bundle(code).Mass
	}
	if here != y.received {
		t.Fatalf("%d ug are here, %d were received", here, y.received)
	}
	for lot, inputs := range y.made {
		y.traced(t, lot, inputs)
	}
}

// traced fails unless a blend weighs what its inputs did and its trace names
// each of them, and theirs names it.
func (y *yard) traced(t *rapid.T, lot string, inputs []string) {
	t.Helper()
	tr, err := y.Trace(y.t.Context(), lot)
	if err != nil {
		t.Fatalf("trace %s: %v", lot, err)
	}
	var lots []string
	for _, l := range tr.Lots {
		if l.Code != lot {
			lots = append(lots, l.Code)
		}
	}
	for _, in := range inputs {
		if !slices.Contains(lots, in) {
			t.Fatalf("the trace of blend %s names %v, not its input %s", lot, lots, in)
		}
		back, err := y.Trace(y.t.Context(), in)
		if err != nil {
			t.Fatalf("trace %s: %v", in, err)
		}
		if !slices.ContainsFunc(back.Bundles, func(b inventory.Bundle) bool { return b.Lot == lot }) {
			t.Fatalf("the trace of lot %s does not lead to blend %s", in, lot)
		}
	}
	y.weighed(t, lot)
}

// weighed fails unless the bundles of a blend's lot and what was taken from them
// since weigh what went into it.
func (y *yard) weighed(t *rapid.T, lot string) {
	t.Helper()
	var in, now, on measure.Mass
	for _, code := range y.bundles {
		if b := y.bundle(code); b.Lot == lot {
			now += b.Mass
		}
	}
	y.read(func(tx *sqlx.Tx) error {
		inputs, err := stockdb.Inputs(y.t.Context(), tx, y.Site, lot)
		for _, i := range inputs {
			in += i.Mass
		}
		if err != nil {
			return err
		}
		into, err := stockdb.Into(y.t.Context(), tx, y.Site, lot)
		for _, i := range into {
			on += i.Mass
		}
		return err
	})
	if now+on != in {
		t.Fatalf("blend %s: %d ug went in; %d lie here and %d went on", lot, in, now, on)
	}
}
