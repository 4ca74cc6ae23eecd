// Package folder reads the CSV files that loggers write into a folder, as they
// grow.
package folder

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path"
	"time"

	"github.com/jmoiron/sqlx"

	"ovenward/cmd/internal/app"
	"ovenward/inventory/sheet"
	"ovenward/storage/feed"
	"ovenward/storage/ovendb"
)

// Settings say what of a folder is read and how.
type Settings struct {
	Name    string // in messages and beside its readings
	Path    string
	Files   string // pattern of the names of files, see path.Match; empty: *.csv
	Place   string // whose readings all files are; empty: Mapping.Sensor says
	Mapping feed.Mapping
}

// Folder is a folder that is looked into again and again. It is not for use by two
// goroutines at once.
type Folder struct {
	Settings
	app  *app.App
	seen map[string]stamp // files that had nothing new, by name
}

// stamp is by what a file that did not change is known without opening it.
type stamp struct {
	size  int64
	wrote time.Time
}

// Came is what one look brought from a file.
type Came struct {
	File    string
	Added   int64
	Known   int64
	Flagged []app.Flagged
}

// New returns a folder of a site.
func New(a *app.App, s Settings) *Folder {
	if s.Files == "" {
		s.Files = "*.csv"
	}
	return &Folder{Settings: s, app: a, seen: map[string]stamp{}}
}

// source is what the folder's readings are stored as.
func (f *Folder) source() ovendb.Source {
	return ovendb.Source{Kind: ovendb.Folder, Name: f.Name, Unit: f.Mapping.Unit}
}

// Look takes in what is new in every file of the folder. A file that cannot be
// read keeps no other from being read; what is wrong is noted and is the error.
func (f *Folder) Look(ctx context.Context) ([]Came, error) {
	came, err := f.files(ctx)
	if ctx.Err() != nil {
		return came, ctx.Err()
	}
	return came, errors.Join(err, f.app.SourceState(ctx, f.source(), err))
}

func (f *Folder) files(ctx context.Context) ([]Came, error) {
	root, err := os.OpenRoot(f.Path)
	if err != nil {
		return nil, fmt.Errorf("folder %s: %w", f.Name, err)
	}
	defer root.Close()
	list, err := fs.ReadDir(root.FS(), ".")
	if err != nil {
		return nil, fmt.Errorf("folder %s: %w", f.Name, err)
	}
	var all []Came
	var wrong error
	for _, e := range list {
		if fits, err := path.Match(f.Files, e.Name()); err != nil || !fits || !e.Type().IsRegular() {
			wrong = errors.Join(wrong, err)
			continue
		}
		c, err := f.file(ctx, root, e.Name())
		if err != nil {
			wrong = errors.Join(wrong, fmt.Errorf("folder %s, file %s: %w", f.Name, e.Name(), err))
		}
		if c.Added+c.Known > 0 || len(c.Flagged) > 0 {
			all = append(all, c)
		}
	}
	return all, wrong
}

// file takes in what is new in a file.
func (f *Folder) file(ctx context.Context, root *os.Root, name string) (Came, error) {
	c := Came{File: name}
	in, err := root.Open(name)
	if err != nil {
		return c, err
	}
	defer in.Close()
	info, err := in.Stat()
	if err != nil {
		return c, err
	}
	now := stamp{info.Size(), info.ModTime()}
	if f.seen[name] == now {
		return c, nil
	}
	r := reading{folder: f, in: in, size: info.Size(), came: &c}
	if err := r.run(ctx); err != nil {
		return c, err
	}
	f.seen[name] = now
	return c, nil
}

// reading is a file while it is read.
type reading struct {
	folder *Folder
	in     io.ReaderAt
	size   int64
	came   *Came
	head   feed.Head
	first  []byte // up to the end of the header
	grown  ovendb.Grown
}

// Sizes in bytes. A part is about 4,000 rows: somebody at the counter waits about
// 8 ms for it, as for a chunk of a file that is loaded.
const (
	mostHead = 1 << 16
	part     = 1 << 17
	tail     = 1 << 10 // of what was read, by which it is known to be as it was
	// pause lets others write between two parts.
	pause = 5 * time.Millisecond
)

func (r *reading) run(ctx context.Context) error {
	begin, err := r.bytes(0, mostHead)
	if err != nil {
		return err
	}
	if sheet.Begins(begin) {
		return errors.New("a workbook: let the logger write CSV, or load it with ovenward oven load")
	}
	var found bool
	if r.head, found = feed.FindHead(begin); !found {
		if len(begin) == mostHead {
			return fmt.Errorf("no two lines in its first %d bytes: it is no CSV file", mostHead)
		}
		return nil // nothing is logged yet
	}
	r.first = begin[:r.head.Length]
	if err := r.resume(ctx); err != nil {
		return err
	}
	for r.grown.Upto < r.size {
		more, err := r.part(ctx)
		if err != nil || !more {
			return err
		}
		select {
		case <-ctx.Done():
			return ctx.Err()
		case <-time.After(pause):
		}
	}
	return nil
}

// resume finds how far the file was read. One that was written anew is read from
// its start: what is there already is stepped over.
func (r *reading) resume(ctx context.Context) (err error) {
	if r.grown, err = r.folder.app.GrownOf(ctx, r.folder.Name, r.head.Begins); err != nil {
		return err
	}
	if r.grown.Upto > r.size {
		return nil // a shorter copy of it
	}
	if r.grown.Upto > 0 {
		ends, err := r.ends(r.grown.Upto)
		if err != nil || ends == r.grown.Ends {
			return err
		}
	}
	r.grown.Upto, r.grown.Lines = int64(r.head.Length), r.head.Lines
	return nil
}

// ends is the digest of the last bytes before a place in the file.
func (r *reading) ends(upto int64) (string, error) {
	n := min(upto, tail)
	b, err := r.bytes(upto-n, n)
	return feed.Digest(b), err
}

func (r *reading) bytes(from, most int64) ([]byte, error) {
	b := make([]byte, min(most, max(r.size-from, 0)))
	n, err := r.in.ReadAt(b, from)
	if errors.Is(err, io.EOF) {
		err = nil // it was cut since
	}
	return b[:n], err
}

// part takes in the next whole lines; false where there are none.
func (r *reading) part(ctx context.Context) (bool, error) {
	b, err := r.bytes(r.grown.Upto, part)
	if err != nil {
		return false, err
	}
	whole := feed.Whole(b)
	if whole == 0 && len(b) == part {
		return false, fmt.Errorf("line %d is longer than %d bytes", r.grown.Lines+1, part)
	}
	if whole == 0 {
		return false, nil // the last line is still being written
	}
	b = b[:whole]
	in, err := r.rows(ctx, b)
	if err != nil {
		return false, err
	}
	next := r.grown
	next.Name, next.Upto, next.Lines = r.came.File, next.Upto+int64(whole), next.Lines+int64(bytes.Count(b, []byte("\n")))
	if next.Ends, err = r.ends(next.Upto); err != nil {
		return false, err
	}
	in.Also = func(ctx context.Context, tx *sqlx.Tx, _ app.Taken) error {
		return ovendb.SetGrown(ctx, tx, r.folder.app.Site, r.folder.Name, next)
	}
	took, err := r.folder.app.Take(ctx, in)
	if err != nil {
		return false, err
	}
	r.grown = next
	r.came.Added, r.came.Known = r.came.Added+took.Added, r.came.Known+took.Known
	r.came.Flagged = append(r.came.Flagged, took.Flagged...)
	return true, nil
}

// rows reads the rows of a part, with the file's header before it.
func (r *reading) rows(ctx context.Context, b []byte) (in app.Intake, err error) {
	f := r.folder
	in.Source = f.source()
	zone, err := f.app.Zone(ctx)
	if err != nil {
		return in, err
	}
	line := func(n int64) int64 {
		if n <= r.head.Lines {
			return n
		}
		return n - r.head.Lines + r.grown.Lines
	}
	text := io.MultiReader(bytes.NewReader(r.first), bytes.NewReader(b))
	sum, err := feed.ReadGrowing(text, f.Mapping, zone, func(row feed.Row) error {
		row.Line, row.Sensor = line(row.Line), f.whose(row.Sensor)
		in.Rows = append(in.Rows, row)
		return nil
	}, func(row feed.Row, bad *feed.RowError) {
		in.Bad = append(in.Bad, app.Flagged{Line: line(bad.Line), Sensor: f.whose(row.Sensor), At: row.At,
			Quality: feed.Unreadable, Field: bad.Column, Value: bad.Value, Why: bad.Why})
	})
	in.Source.Unit = sum.Unit
	return in, err
}

// whose is the sensor or place of a row.
func (f *Folder) whose(named string) string {
	if f.Place != "" {
		return f.Place
	}
	return named
}
