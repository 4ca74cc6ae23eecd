package ledgerdb_test

import (
	"fmt"
	"slices"
	"testing"
	"time"

	"github.com/jmoiron/sqlx"

	"ovenward/inventory/ledger"
	"ovenward/inventory/ledgerdb"
	"ovenward/migrations/db"
	"ovenward/migrations/db/dbtest"
)

// The lengths between which the cost of an append is compared.
const (
	short = 10_000
	long  = 1_000_000
)

// BenchmarkAppend appends in turn to a short and to a long ledger, one durable
// transaction a fact, and reports the medians and their ratio.
func BenchmarkAppend(b *testing.B) {
	eachEngine(b, func(b *testing.B, create func() *db.DB) {
		ledgers := [2]*db.DB{filled(b, create(), short), filled(b, create(), long)}
		var took [2][]time.Duration
		for n := long + 1; b.Loop(); n++ {
			for i, d := range ledgers {
				start := time.Now()
				add(b, d, "yard", issueDraft(n))
				took[i] = append(took[i], time.Since(start))
			}
		}
		lower, upper := median(took[0]), median(took[1])
		b.ReportMetric(0, "ns/op") // two appends together say nothing
		b.ReportMetric(float64(lower.Nanoseconds())/1e3, "short-µs")
		b.ReportMetric(float64(upper.Nanoseconds())/1e3, "long-µs")
		b.ReportMetric(float64(upper)/float64(lower), "ratio")
	})
}

// BenchmarkVerify walks a long ledger.
func BenchmarkVerify(b *testing.B) {
	eachEngine(b, func(b *testing.B, create func() *db.DB) {
		d := filled(b, create(), long)
		for b.Loop() {
			if h, err := verify(b, d, "yard"); err != nil || h.Seq != long {
				b.Fatal(h, err)
			}
		}
		b.ReportMetric(float64(long)*float64(b.N)/b.Elapsed().Seconds(), "facts/s")
	})
}

// BenchmarkInsertAll loads exported facts.
func BenchmarkInsertAll(b *testing.B) {
	const page = 1000
	eachEngine(b, func(b *testing.B, create func() *db.DB) {
		d, h := create(), ledger.Start("yard")
		for b.Loop() {
			facts := following(b, h, page)
			h = loadPage(b, d, h, facts)
		}
		b.ReportMetric(float64(page*b.N)/b.Elapsed().Seconds(), "facts/s")
	})
}

func eachEngine(b *testing.B, fn func(b *testing.B, create func() *db.DB)) {
	b.Run("sqlite", func(b *testing.B) {
		fn(b, func() *db.DB { return dbtest.SQLite(b) })
	})
	b.Run("postgres", func(b *testing.B) {
		fn(b, func() *db.DB { return dbtest.Open(b, dbtest.Prepared(b)) })
	})
}

// following returns the n facts behind a head.
func following(b *testing.B, h ledger.Head, n int) []ledger.Fact {
	b.Helper()
	facts := make([]ledger.Fact, n)
	for i := range facts {
		f, err := h.Next(issueDraft(int(h.Seq) + 1))
		if err != nil {
			b.Fatal(err)
		}
		facts[i], h = f, f.Head()
	}
	return facts
}

// filled gives a database a ledger of n facts, as fast as its engine can.
func filled(b *testing.B, d *db.DB, n int) *db.DB {
	b.Helper()
	const page = 10_000
	h := ledger.Start("yard")
	for h.Seq < int64(n) {
		facts := following(b, h, page)
		if d.Engine() == db.Postgres {
			h = copyPage(b, d, facts)
		} else {
			h = loadPage(b, d, h, facts)
		}
	}
	if d.Engine() == db.Postgres {
		write(b, d, func(tx *sqlx.Tx) error {
			_, err := tx.Exec(`ANALYZE fact`)
			return err
		})
	}
	return d
}

func loadPage(b *testing.B, d *db.DB, h ledger.Head, facts []ledger.Fact) ledger.Head {
	b.Helper()
	write(b, d, func(tx *sqlx.Tx) error {
		if _, err := ledgerdb.Lock(b.Context(), tx, h.Site); err != nil {
			return err
		}
		_, err := ledgerdb.InsertAll(b.Context(), tx, h, facts)
		return err
	})
	return facts[len(facts)-1].Head()
}

// copyPage uses the server's bulk loader, which only a test may: it asks nothing.
func copyPage(b *testing.B, d *db.DB, facts []ledger.Fact) ledger.Head {
	b.Helper()
	end := facts[len(facts)-1].Head()
	write(b, d, func(tx *sqlx.Tx) error {
		if _, err := ledgerdb.Lock(b.Context(), tx, end.Site); err != nil {
			return err
		}
		in, err := tx.Prepare(`COPY fact (site, seq, id, kind, at_us, noted_us, by_who, via, body, supersedes,
			reason, prev, hash, encoding) FROM STDIN`)
		if err != nil {
			return err
		}
		for _, f := range facts {
			if _, err := in.Exec(f.Site, f.Seq, f.ID, f.Kind, int64(f.At), int64(f.Noted), f.By, f.Via, f.Body,
				f.Supersedes, f.Reason, f.Prev, f.Hash, f.Encoding); err != nil {
				return err
			}
		}
		if _, err := in.Exec(); err != nil {
			return err
		}
		if err := in.Close(); err != nil {
			return err
		}
		_, err = tx.Exec(`UPDATE head SET seq = $2, hash = $3, noted_us = $4 WHERE site = $1`,
			end.Site, end.Seq, end.Hash, end.Noted)
		return err
	})
	return end
}

func write(b *testing.B, d *db.DB, fn func(tx *sqlx.Tx) error) {
	b.Helper()
	if err := d.Write(b.Context(), fn); err != nil {
		b.Fatal(fmt.Errorf("fill: %w", err))
	}
}

func median(ds []time.Duration) time.Duration {
	slices.Sort(ds)
	return ds[len(ds)/2]
}
