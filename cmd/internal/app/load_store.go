package app

import (
	"cmp"
	"context"
	"path/filepath"
	"slices"

	"github.com/jmoiron/sqlx"

	"ovenward/storage/ovendb"
)

// windowRows is how many rows are put in the order of their sensors at once, in
// 24 MB. Rows of one sensor are stored side by side, which takes two thirds of
// the time that it takes row by row in the order of the file.
const windowRows = 500_000

// store stores what was spooled.
func (l *loading) store(ctx context.Context) error {
	w := storing{loading: l, sorted: slices.Clone(l.targets)}
	slices.SortFunc(w.sorted, func(a, b *target) int { return cmp.Compare(a.Sensor, b.Sensor) })
	held := 0
	err := l.spool.each(func(r spooled) error {
		t := l.targets[r.target]
		t.rows = append(t.rows, r)
		if held++; held < windowRows {
			return nil
		}
		held = 0
		return w.window(ctx)
	})
	if err != nil {
		return err
	}
	if err := w.window(ctx); err != nil {
		return err
	}
	return w.chunk(ctx)
}

// storing is what is on its way into the database.
type storing struct {
	*loading
	sorted []*target // by sensor
	pace   pace
	list   []ovendb.Reading
	lines  []int64 // of the list
	from   int64   // the number of the source
}

// source is the file that is loaded.
func (w *storing) source() ovendb.Source {
	return ovendb.Source{Kind: ovendb.File, Name: filepath.Base(w.options.Name), Unit: w.sum.File.Unit}
}

// window stores the rows that the targets hold.
func (w *storing) window(ctx context.Context) error {
	for _, t := range w.sorted {
		for _, r := range t.rows {
			w.list = append(w.list, ovendb.Reading{Sensor: t.Sensor, At: r.at, Temp: r.temp})
			w.lines = append(w.lines, r.line)
			if len(w.list) < w.pace.rows() {
				continue
			}
			if err := w.chunk(ctx); err != nil {
				return err
			}
		}
		t.rows = t.rows[:0]
	}
	return nil
}

// chunk stores what is in hand in one transaction and counts what became of it.
func (w *storing) chunk(ctx context.Context) error {
	if len(w.list) == 0 {
		return nil
	}
	if err := w.pace.pause(ctx); err != nil {
		return err
	}
	var added, others int64
	err := w.app.DB.Write(ctx, func(tx *sqlx.Tx) (err error) {
		if others, err = ovendb.OthersWrote(ctx, tx); err != nil {
			return err
		}
		if w.from == 0 {
			if w.from, err = ovendb.SourceNumber(ctx, tx, w.app.Site, w.source()); err != nil {
				return err
			}
		}
		added, err = ovendb.Add(ctx, tx, w.app.Site, ovendb.Arrival{Noted: w.app.now(), Source: w.from}, w.list)
		return err
	})
	if err != nil {
		return err
	}
	w.pace.stored(w.app.DB.Engine(), others)
	if err := w.count(ctx, added); err != nil {
		return err
	}
	w.list, w.lines = w.list[:0], w.lines[:0]
	return nil
}

// count counts what became of the list. Readings are never changed, so that
// conflicts may be looked for when others can write again.
func (w *storing) count(ctx context.Context, added int64) error {
	w.sum.Added += added
	known := int64(len(w.list)) - added
	if known == 0 {
		return nil
	}
	var found []ovendb.Conflict
	err := w.app.DB.Read(ctx, func(tx *sqlx.Tx) (err error) {
		found, err = ovendb.Conflicts(ctx, tx, w.app.Site, w.list)
		return err
	})
	if err != nil {
		return err
	}
	w.sum.Known += known - int64(len(found))
	for _, c := range found {
		w.sum.Conflicts.add(w.lines[c.Index], w.list[c.Index], c)
	}
	return nil
}

func (c *Conflicts) add(line int64, r ovendb.Reading, found ovendb.Conflict) {
	c.Count++
	if len(c.First) < listed {
		c.First = append(c.First, Conflict{Line: line, Sensor: r.Sensor, At: r.At, Stored: found.Stored, File: r.Temp})
	}
}
