package app

import (
	"bufio"
	"bytes"
	"cmp"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"maps"
	"slices"
	"strings"

	"github.com/google/uuid"
	"github.com/jmoiron/sqlx"

	"ovenward/inventory"
	"ovenward/inventory/sheet"
	"ovenward/migrations/db"
	"ovenward/storage/register"
)

// ImportOptions say how a register is imported.
type ImportOptions struct {
	Name   string // of the file, for messages
	By     string // who records what the register names nobody for
	DryRun bool   // try everything and take it back
}

// Imported is what became of the rows of a register.
type Imported struct {
	Rows     int // with something in them
	Recorded int // rows that were recorded now, or would be
	Repeated int // rows that were recorded before
	Refused  int // rows of which something was refused
	InPart   int // of the refused ones, rows of which the rest stands in the ledger
	Facts    int // recorded now
	Problems []sheet.Problem
	Warnings []RowWarning
	Unread   []string // columns that hold something and are not read
	Lots     []LotBalance
}

// RowWarning is what is to be said of a row that was recorded.
type RowWarning struct {
	Line int64  `json:"line"`
	Text string `json:"text"`
}

// Import records the acts that a register tells of, in the order in which they
// happened, through the same code as commands do. They have happened: what a
// rule would have refused is recorded with a warning, what cannot have happened
// is refused and listed, and the other rows are recorded all the same.
//
// The id of a fact follows from what the row says, so that the same file again,
// or the same file with its bad rows mended, records nothing twice, and an
// import that was stopped goes on when it is given again. A dry run is the same
// in one transaction that is taken back.
//
// The error is a *LoadError for a file that cannot be trusted as a whole, a
// *inventory.Refusal where nobody is named, or what went wrong half-way.
func (a *App) Import(ctx context.Context, r io.Reader, k register.Kind, m register.Mapping, o ImportOptions) (Imported, error) {
	if strings.TrimSpace(o.By) == "" {
		return Imported{}, nobody()
	}
	zone, err := a.Zone(ctx)
	if err != nil {
		return Imported{}, err
	}
	reg, err := register.Read(r, k, m, zone)
	if err != nil {
		return Imported{}, unreadable(o.Name, err)
	}
	im := importing{ctx: ctx, app: a, options: o, reg: reg}
	if im.ids, err = a.factIDs(reg.Acts); err != nil {
		return Imported{}, err
	}
	return im.run()
}

// unreadable is the error of a file that cannot be read as a register.
func unreadable(name string, err error) error {
	if m, ok := errors.AsType[*register.MappingError](err); ok {
		return &LoadError{Name: name, Err: err, Next: m.Next}
	}
	if isFile(err) || errors.Is(err, register.ErrTooManyRows) || is[*sheet.RowError](err) {
		return &LoadError{Name: name, Err: err, Next: nextFor(err)}
	}
	return err
}

// factIDs gives every act the id of its first fact: it follows from the site
// and from what the row says. Of rows that say the same, each has its own.
func (a *App) factIDs(acts []register.Act) ([]string, error) {
	seen := map[string]int{}
	ids := make([]string, len(acts))
	for i, act := range acts {
		says, err := json.Marshal(act.Entries)
		if err != nil {
			return nil, err
		}
		name := fmt.Sprintf("ovenward import\x00%s\x00%d\x00%s\x00%s\x00%s\x00%s", a.Site, act.At, act.Entries[0].Kind(), says, act.Lot, act.Welder)
		if act.After >= 0 {
			name += "\x00" + ids[act.After]
		}
		seen[name]++
		ids[i] = uuid.NewSHA1(uuid.NameSpaceOID, fmt.Appendf(nil, "%s\x00%d", name, seen[name])).String()
	}
	return ids, nil
}

// importing is a register while it is imported.
type importing struct {
	ctx     context.Context
	app     *App
	options ImportOptions
	reg     *register.Register
	ids     []string
	within  func(fn func(tx *sqlx.Tx) error) error // runs one act

	done [][]Done // by act; nil for one that was refused
	lots map[string]bool
	out  Imported
}

// run imports for good, or tries it in one transaction and takes it back.
func (im *importing) run() (Imported, error) {
	if !im.options.DryRun {
		im.within = func(fn func(tx *sqlx.Tx) error) error { return im.app.write(im.ctx, fn) }
		im.begin()
		if err := im.all(); err != nil {
			return im.out, fmt.Errorf("%s: %d facts are recorded; import it again to go on: %w", im.options.Name, im.out.Facts, err)
		}
		return im.out, im.app.DB.Read(im.ctx, im.balance)
	}
	err := im.app.DB.Write(im.ctx, func(tx *sqlx.Tx) error {
		im.within = func(fn func(tx *sqlx.Tx) error) error { return db.Attempt(im.ctx, tx, fn) }
		im.begin()
		if err := im.all(); err != nil {
			return err
		}
		if err := im.balance(tx); err != nil {
			return err
		}
		return errDryRun
	})
	if errors.Is(err, errDryRun) {
		err = nil
	}
	return im.out, err
}

// begin forgets what an attempt that is made again had found.
func (im *importing) begin() {
	im.done, im.lots = make([][]Done, len(im.reg.Acts)), map[string]bool{}
	im.out = Imported{Rows: im.reg.Rows, Problems: slices.Clone(im.reg.Problems), Unread: im.reg.Unread}
}

// rank puts acts of one instant into an order in which they can have happened.
var rank = map[string]int{"receive": 1, "release": 2, "issue": 3, "bake": 4, "return": 5, "move": 6, "scrap": 7}

// inOrder returns the acts' indexes in the order in which they happened.
func (im *importing) inOrder() []int {
	acts := im.reg.Acts
	order := make([]int, len(acts))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(x, y int) int {
		return cmp.Or(cmp.Compare(acts[x].At, acts[y].At),
			cmp.Compare(rank[acts[x].Entries[0].Kind()], rank[acts[y].Entries[0].Kind()]))
	})
	return order
}

func (im *importing) all() error {
	for _, i := range im.inOrder() {
		if err := im.act(i); err != nil {
			return fmt.Errorf("line %d: %w", im.reg.Acts[i].Line, err)
		}
	}
	im.tally()
	return nil
}

// act records one act, or says why it cannot have happened.
func (im *importing) act(i int) error {
	act := im.reg.Acts[i]
	if act.After >= 0 && im.done[act.After] == nil {
		return nil // what it rests on was refused, and the row is listed for that
	}
	var all []Done
	var lots []string
	err := im.within(func(tx *sqlx.Tx) (err error) {
		all, lots, err = im.record(tx, i)
		return err
	})
	if ref, refused := errors.AsType[*inventory.Refusal](err); refused {
		im.out.Problems = append(im.out.Problems, im.problem(act, ref))
		return nil
	}
	if err != nil {
		return err
	}
	im.done[i] = all
	for _, lot := range lots {
		im.lots[lot] = true
	}
	im.said(act, all)
	return nil
}

// record records an act in a transaction that may run twice, and returns the
// lots that it is of.
func (im *importing) record(tx *sqlx.Tx, i int) (all []Done, lots []string, err error) {
	act := im.reg.Acts[i]
	r := Request{ID: im.ids[i], At: act.At, By: im.options.By, Paper: true}
	v, err := im.app.view(im.ctx, tx, act.At)
	if err != nil {
		return nil, nil, err
	}
	entries, err := im.complete(v, i)
	if err != nil {
		return nil, nil, err
	}
	for _, e := range entries {
		if a := inventory.ActOf(e); a != nil && act.By != im.options.By {
			a.Actor = act.By
		}
	}
	if all, err = im.app.attempts(im.ctx, tx, r, entries); err != nil {
		return nil, nil, err
	}
	lots, err = v.lotsDone(all)
	return all, lots, err
}

// said counts what an act recorded and keeps what is to be said of it.
func (im *importing) said(act register.Act, all []Done) {
	texts := map[string]bool{}
	for _, d := range all {
		if d.Repeat {
			continue
		}
		im.out.Facts++
		for _, w := range d.Warnings {
			if _, late := d.Fact.Late(); late && strings.HasSuffix(w, "marked late") {
				continue // so is all that stood on paper
			}
			if !texts[w] {
				im.out.Warnings = append(im.out.Warnings, RowWarning{act.Line, w})
			}
			texts[w] = true
		}
	}
}

// tally counts the rows: recorded, repeated or refused, one of them each.
func (im *importing) tally() {
	type fate struct{ acts, known, refused int }
	rows := map[int]*fate{}
	for i, act := range im.reg.Acts {
		f := rows[act.Row]
		if f == nil {
			f = &fate{}
			rows[act.Row] = f
		}
		f.acts++
		switch {
		case im.done[i] == nil:
			f.refused++
		case im.done[i][0].Repeat:
			f.known++
		}
	}
	im.out.Refused = len(im.reg.Problems)
	for _, f := range rows {
		switch {
		case f.refused > 0:
			im.out.Refused++
			if f.refused < f.acts {
				im.out.InPart++
			}
		case f.known == f.acts:
			im.out.Repeated++
		default:
			im.out.Recorded++
		}
	}
	slices.SortStableFunc(im.out.Problems, func(a, b sheet.Problem) int { return cmp.Compare(a.Line, b.Line) })
	slices.SortStableFunc(im.out.Warnings, func(a, b RowWarning) int { return cmp.Compare(a.Line, b.Line) })
}

// balance adds up the lots that the register speaks of.
func (im *importing) balance(tx *sqlx.Tx) error {
	v, err := im.app.view(im.ctx, tx, im.app.now())
	if err != nil {
		return err
	}
	im.out.Lots = nil
	for _, lot := range slices.Sorted(maps.Keys(im.lots)) {
		b, err := v.lotBalance(lot)
		if err != nil {
			return err
		}
		im.out.Lots = append(im.out.Lots, b)
	}
	return nil
}

// problem is a refusal at its place in the file.
func (im *importing) problem(act register.Act, ref *inventory.Refusal) sheet.Problem {
	said := ""
	if err := json.Unmarshal(fields(act.Entries[0])[ref.Subject], &said); err != nil {
		said = "" // a number, or nothing of that name
	}
	p := sheet.Problem{Line: act.Line, Value: cmp.Or(ref.Value, said, ref.Subject), Why: ref.Why, Next: ref.Next}
	if p.Column = im.reg.Column(ref.Subject); p.Column == "" && ref.Subject != "" && ref.Subject != p.Value {
		p.Why = ref.Subject + ": " + p.Why
	}
	p.Why = fmt.Sprintf("%s (%s)", strings.TrimSuffix(p.Why, "; "+ref.Next), ref.Code)
	return p
}

// ImportReadings reads a register of oven readings, whose columns are found as
// those of other registers are. The error is as that of LoadReadings.
func (a *App) ImportReadings(ctx context.Context, r io.Reader, m register.Mapping, o ImportOptions) (LoadSummary, error) {
	const header = 64 << 10 // bytes; no header is longer
	in := bufio.NewReaderSize(r, header)
	head, err := in.Peek(header)
	if err != nil && !errors.Is(err, io.EOF) {
		return LoadSummary{}, err
	}
	if sheet.Begins(head) { // a workbook is read whole
		if head, err = io.ReadAll(io.LimitReader(in, sheet.MostBook+1)); err != nil {
			return LoadSummary{}, err
		}
		in = bufio.NewReader(bytes.NewReader(head))
	}
	f, place, err := register.Readings(head, m)
	if err != nil {
		return LoadSummary{}, unreadable(o.Name, err)
	}
	return a.LoadReadings(ctx, o.By, in, f, place, LoadOptions{Name: o.Name, DryRun: o.DryRun})
}
