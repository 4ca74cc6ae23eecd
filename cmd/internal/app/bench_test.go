package app_test

import (
	"fmt"
	"os/exec"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"github.com/jmoiron/sqlx"

	"ovenward/inventory/measure"
	"ovenward/migrations/db"
	"ovenward/migrations/db/dbtest"
)

// BenchmarkIssue records one durable issue and, in turn, the smallest durable
// commit that the engine can make: one small row in a transaction of its own.
func BenchmarkIssue(b *testing.B) {
	dbtest.EachB(b, func(b *testing.B, open func() *db.DB) {
		s := newShop(b, open(), "yard")
		s.can("K1", 10_000_000)
		smallest(b, s.DB, `CREATE TABLE smallest (n BIGINT NOT NULL PRIMARY KEY)`)
		var commits, issues []time.Duration
		for n := 0; b.Loop(); n++ {
			commits = append(commits, timed(func() { smallest(b, s.DB, `INSERT INTO smallest (n) VALUES ($1)`, n) }))
			issues = append(issues, timed(func() { s.do(issue(fmt.Sprintf("S%d", n), "K1", 1)) }))
		}
		compared(b, "commit", commits, "issue", issues)
	})
}

// BenchmarkColdIssue runs the built program for one durable issue, from its
// start to its exit, and records one in this process in turn.
func BenchmarkColdIssue(b *testing.B) {
	program := filepath.Join(b.TempDir(), "ovenward")
	if out, err := exec.Command("go", "build", "-o", program, "ovenward/cmd/ovenward").CombinedOutput(); err != nil {
		b.Fatalf("build: %v\n%s", err, out)
	}
	for _, e := range []struct{ name, dsn string }{{"sqlite", "sqlite:" + filepath.Join(b.TempDir(), "yard.db")}, {"postgres", ""}} {
		b.Run(e.name, func(b *testing.B) {
			if e.dsn == "" {
				e.dsn = dbtest.Prepared(b)
			}
			s := realTimeShop(b, dbtest.Open(b, e.dsn))
			var within, cold []time.Duration
			for n := 0; b.Loop(); n++ {
				within = append(within, timed(func() { s.do(issue(fmt.Sprintf("S%d", n), "K1", 1)) }))
				c := exec.Command(program, "--db", e.dsn, "--site", "yard", "--by", attendant,
					"issue", "K1", "--pieces", "1", "--welder", fmt.Sprintf("W%d", n))
				cold = append(cold, timed(func() {
					if out, err := c.CombinedOutput(); err != nil {
						b.Fatalf("%v\n%s", err, out)
					}
				}))
			}
			compared(b, "within", within, "cold", cold)
		})
	}
}

// The lengths of ledgers between which the cost of an issue is compared.
const (
	short = 10_000
	long  = 1_000_000
)

// BenchmarkIssueByLength records issues in turn behind a short and behind a long
// ledger, both with all that follows from them.
func BenchmarkIssueByLength(b *testing.B) {
	b.Run("sqlite", func(b *testing.B) { issueByLength(b, func() *db.DB { return dbtest.SQLite(b) }) })
	b.Run("postgres", func(b *testing.B) { issueByLength(b, func() *db.DB { return dbtest.Open(b, dbtest.Prepared(b)) }) })
}

func issueByLength(b *testing.B, create func() *db.DB) {
	shops := [2]*shop{generated(b, create(), short), generated(b, create(), long)}
	var took [2][]time.Duration
	for n := 0; b.Loop(); n++ {
		for i, s := range shops {
			took[i] = append(took[i], timed(func() { s.do(issue(fmt.Sprintf("N%d", n), "NEW", 1)) }))
		}
	}
	compared(b, "short", took[0], "long", took[1])
}

// BenchmarkVerify checks a ledger and all that follows from it.
func BenchmarkVerify(b *testing.B) {
	dbtest.EachB(b, func(b *testing.B, open func() *db.DB) {
		s := generated(b, open(), 10*short)
		for b.Loop() {
			s.sound()
		}
		b.ReportMetric(10*short*float64(b.N)/b.Elapsed().Seconds(), "facts/s")
	})
}

// BenchmarkRebuild drops all that follows from a long ledger and builds it anew.
func BenchmarkRebuild(b *testing.B) {
	dbtest.EachB(b, func(b *testing.B, open func() *db.DB) {
		s := generated(b, open(), long)
		for b.Loop() {
			if err := s.Rebuild(b.Context()); err != nil {
				b.Fatal(err)
			}
		}
		b.ReportMetric(long*float64(b.N)/b.Elapsed().Seconds(), "facts/s")
	})
}

// BenchmarkLateIssue enters an issue late into a lot of some hundred facts, so
// that the lot is taken back to it.
func BenchmarkLateIssue(b *testing.B) {
	dbtest.EachB(b, func(b *testing.B, open func() *db.DB) {
		s := generated(b, open(), short)
		last := fmt.Sprintf("K%d", short/lotFacts-1)
		early := s.bundle(last).Born.Add(measure.Hour)
		for n := 0; b.Loop(); n++ {
			s.do(issue(fmt.Sprintf("N%d", n), last, 1), at(early))
		}
	})
}

func timed(act func()) time.Duration {
	start := time.Now()
	act()
	return time.Since(start)
}

// compared reports two medians and their ratio.
func compared(b *testing.B, lower string, a []time.Duration, upper string, c []time.Duration) {
	b.Helper()
	x, y := median(a), median(c)
	b.ReportMetric(0, "ns/op") // both together say nothing
	b.ReportMetric(float64(x.Nanoseconds())/1e6, lower+"-ms")
	b.ReportMetric(float64(y.Nanoseconds())/1e6, upper+"-ms")
	b.ReportMetric(float64(y)/float64(x), "ratio")
}

func median(all []time.Duration) time.Duration {
	slices.Sort(all)
	return all[len(all)/2]
}

func smallest(b *testing.B, d *db.DB, statement string, args ...any) {
	b.Helper()
	err := d.Write(b.Context(), func(tx *sqlx.Tx) error {
		_, err := tx.ExecContext(b.Context(), statement, args...)
		return err
	})
	if err != nil {
		b.Fatal(err)
	}
}
