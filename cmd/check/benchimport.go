package main

import (
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"time"

	"github.com/jmoiron/sqlx"

	"ovenward/cmd/internal/app"
	"ovenward/inventory"
	"ovenward/migrations/db"
	"ovenward/storage/feed"
)

const (
	importRows   = 1_000_000
	importRounds = 5
	importAsked  = 0.7 // of the rows a second of the engine's own loader
)

// benchImport loads a million readings from a CSV file as "oven load" does, and
// the same readings with the engine's own bulk loader into the same table with
// the same key. The rounds of both alternate; the best of each is compared,
// because other work on the machine can only make a round slower.
func (c *check) benchImport(ctx context.Context) (err error) {
	c.heading("bench import", fmt.Sprintf("%d readings of %d ovens from CSV", importRows, importOvens))
	stop, err := c.startPostgres(ctx)
	defer stop()
	if err != nil {
		return err
	}
	folder, err := os.MkdirTemp("", "ovenward-bench-")
	if err != nil {
		return err
	}
	defer os.RemoveAll(folder)
	b := &importBench{check: c, folder: folder,
		log: filepath.Join(folder, "log.csv"), raw: filepath.Join(folder, "raw.csv")}
	if err := writeReadings(b.log, b.raw, importRows); err != nil {
		return err
	}
	peers, err := b.peers(ctx)
	if err != nil {
		return err
	}
	slow := 0
	for _, p := range peers {
		ratio, err := b.compare(ctx, p)
		if err != nil {
			return fmt.Errorf("%s: %w", p.name, err)
		}
		if ratio < importAsked {
			slow++
		}
		if err := b.served(ctx, p); err != nil {
			return fmt.Errorf("%s: %w", p.name, err)
		}
	}
	if slow > 0 {
		return fmt.Errorf("import is slower than %.2f of the engine's own loader", importAsked)
	}
	return nil
}

// importBench is one run of benchImport.
type importBench struct {
	*check
	folder   string
	log, raw string // the file that is loaded, and the table's rows for the peer
}

// importPeer is an engine with its own bulk loader.
type importPeer struct {
	name string
	tool string
	dsn  func(ctx context.Context) (string, error)                // of a new, empty database
	load func(ctx context.Context, dsn string) (*exec.Cmd, error) // b.raw into its table
	drop func(ctx context.Context, dsn string) error
}

// compare alternates both loaders and returns the ratio of their best rounds.
func (b *importBench) compare(ctx context.Context, p importPeer) (float64, error) {
	var theirs, ours []float64
	for range importRounds {
		t, err := b.once(ctx, p, b.peer)
		if err != nil {
			return 0, fmt.Errorf("%s: %w", p.tool, err)
		}
		theirs = append(theirs, t)
		if t, err = b.once(ctx, p, b.own); err != nil {
			return 0, err
		}
		ours = append(ours, t)
	}
	ratio := slices.Max(ours) / slices.Max(theirs)
	fmt.Fprintf(b.out, "%s: oven load %.0f rows/s, %s %.0f rows/s: ratio %.2f, asked %.2f (medians %.0f and %.0f)\n",
		p.name, slices.Max(ours), p.tool, slices.Max(theirs), ratio, importAsked, median(ours), median(theirs))
	return ratio, nil
}

func median(list []float64) float64 {
	sorted := slices.Sorted(slices.Values(list))
	return sorted[len(sorted)/2]
}

// loader loads the readings into a database and says how long it took.
type loader func(ctx context.Context, p importPeer, dsn string) (time.Duration, error)

// once loads into a new database and returns rows a second, until all is durable
// and the database is closed.
func (b *importBench) once(ctx context.Context, p importPeer, load loader) (float64, error) {
	dsn, err := p.dsn(ctx)
	if err != nil {
		return 0, err
	}
	if err := b.prepare(ctx, dsn); err != nil {
		return 0, err
	}
	took, err := load(ctx, p, dsn)
	if err != nil {
		return 0, err
	}
	if err := b.whole(ctx, dsn); err != nil {
		return 0, err
	}
	return importRows / took.Seconds(), p.drop(ctx, dsn)
}

// peer times the engine's own loader.
func (b *importBench) peer(ctx context.Context, p importPeer, dsn string) (time.Duration, error) {
	cmd, err := p.load(ctx, dsn)
	if err != nil {
		return 0, err
	}
	begun := time.Now()
	_, err = output(cmd)
	return time.Since(begun), err
}

// own times what "oven load" does.
func (b *importBench) own(ctx context.Context, _ importPeer, dsn string) (time.Duration, error) {
	f, err := os.Open(b.log)
	if err != nil {
		return 0, err
	}
	defer f.Close()
	begun := time.Now()
	err = site(ctx, dsn, func(a *app.App) error {
		columns := feed.Mapping{Time: "time", Value: "temp", Sensor: "oven"}
		sum, err := a.LoadReadings(ctx, "bench", f, columns, "", app.LoadOptions{Name: "log.csv"})
		if err == nil && sum.Added != importRows {
			err = fmt.Errorf("%d readings were added, want %d", sum.Added, importRows)
		}
		return err
	})
	return time.Since(begun), err
}

// site opens a database for the length of a function.
func site(ctx context.Context, dsn string, fn func(*app.App) error) error {
	d, err := db.Open(ctx, dsn)
	if err != nil {
		return err
	}
	err = fn(&app.App{DB: d, Site: importSite, Via: "bench", Now: time.Now})
	if cerr := d.Close(); err == nil {
		err = cerr
	}
	return err
}

// prepare makes the tables and sets up the ovens.
func (b *importBench) prepare(ctx context.Context, dsn string) error {
	return site(ctx, dsn, func(a *app.App) error {
		entries := []inventory.Entry{&inventory.SiteSet{Zone: "Etc/UTC"}}
		for i := range importOvens {
			entries = append(entries, &inventory.PlaceSet{Place: oven(i), SortKind: string(inventory.HoldingOven)},
				&inventory.SensorSet{Sensor: oven(i), Place: oven(i)})
		}
		_, err := a.RecordAll(ctx, app.Request{By: "bench"}, entries)
		return err
	})
}

// whole makes sure that all readings are there.
func (b *importBench) whole(ctx context.Context, dsn string) error {
	return site(ctx, dsn, func(a *app.App) error {
		var n int64
		err := a.DB.Read(ctx, func(tx *sqlx.Tx) error {
			return tx.GetContext(ctx, &n, `SELECT count(*) FROM reading WHERE site = $1`, importSite)
		})
		if err == nil && n != importRows {
			err = fmt.Errorf("%d readings are stored, want %d", n, importRows)
		}
		return err
	})
}
