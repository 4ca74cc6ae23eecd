package main

import (
	"context"
	"fmt"
	"io"
	"os"
	"slices"
	"strings"
	"time"

	"github.com/google/uuid"
	"github.com/urfave/cli/v2"
	"golang.org/x/term"

	"ovenward/cmd/internal/app"
	"ovenward/cmd/internal/show"
	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/migrations/db"
)

// env is what a command runs in: the streams, the settings given for all
// commands, and the database once one is asked for.
type env struct {
	in        io.Reader
	out, errs io.Writer
	getenv    func(string) string
	now       func() time.Time

	options            []db.Option // of opening the database
	dsn, site, by, via string
	format             string
	json               bool
	tableFiles         cli.StringSlice // the shop's own tables

	founds bool // the command may begin a site
	db     *db.DB
	warned bool
	dry    bool // the command ran dry: nothing was written
}

// flags are the settings for all commands.
func (e *env) flags() []cli.Flag {
	return []cli.Flag{
		&cli.StringFlag{Name: "db", Usage: "`DATABASE`: sqlite:FILE or postgres://...", Destination: &e.dsn,
			EnvVars: []string{"OVENWARD_DB"}, Value: "sqlite:ovenward.db"},
		&cli.StringFlag{Name: "site", Usage: "the crib's `NAME` in the ledger", Destination: &e.site,
			EnvVars: []string{"OVENWARD_SITE"}, Value: "main"},
		&cli.StringFlag{Name: "by", Usage: "`WHO` records this: badge or name", Destination: &e.by, EnvVars: []string{"OVENWARD_BY"}},
		&cli.StringFlag{Name: "via", Usage: "`TERMINAL` this is entered at", Destination: &e.via,
			EnvVars: []string{"OVENWARD_VIA"}, Value: "command line"},
		&cli.StringSliceFlag{Name: "tables", Usage: "`FILE` of the shop's own figures or preparations; may be given again (ovenward plan tables)",
			Destination: &e.tableFiles, EnvVars: []string{"OVENWARD_TABLES"}},
		&cli.StringFlag{Name: "format", Usage: "`FORM` of the answer: table, csv or json", Destination: &e.format, Value: string(show.AsTable)},
		&cli.BoolFlag{Name: "json", Usage: "the same as --format json", Destination: &e.json},
	}
}

// open returns the program on its database, which it opens once.
func (e *env) open(ctx context.Context) (*app.App, error) {
	if e.db == nil {
		d, err := db.Open(ctx, e.dsn, e.options...)
		if err != nil {
			return nil, err
		}
		e.db = d
		for _, w := range d.Warnings() {
			e.warn("%s", w)
		}
		if err := e.knownSite(ctx); err != nil {
			return nil, err
		}
	}
	return e.program(), nil
}

func (e *env) program() *app.App {
	return &app.App{DB: e.db, Site: e.site, Via: e.via, Now: e.now, Tables: e.tables}
}

// knownSite refuses a site of which a database that holds others knows nothing. It
// would look like an empty one, and take facts that belong to another.
func (e *env) knownSite(ctx context.Context) error {
	if e.founds {
		return nil
	}
	sites, err := e.program().Sites(ctx)
	if err != nil || len(sites) == 0 || slices.Contains(sites, e.site) {
		return err
	}
	return &inventory.Refusal{Code: inventory.Unknown, Subject: "site", Value: e.site,
		Why:  "this database knows of no such site; it holds " + strings.Join(sites, ", "),
		Next: "name one of them with --site or OVENWARD_SITE, or set up a new one: ovenward --site " + e.site + " setup --zone ZONE"}
}

func (e *env) close() {
	if e.db == nil {
		return
	}
	if err := e.db.Close(); err != nil {
		fmt.Fprintf(e.errs, "ovenward: closing the database: %v\n", err)
	}
}

// warn tells a person something on standard error; the program then ends with
// the status for warnings.
func (e *env) warn(format string, args ...any) {
	e.warned = true
	fmt.Fprintf(e.errs, "warning: "+format+"\n", args...)
}

// asJSON reports whether the answer goes to a program.
func (e *env) asJSON() bool { return e.json || e.format == string(show.AsJSON) }

// printer returns the printer for the format asked for.
func (e *env) printer() (*show.Printer, error) {
	if e.asJSON() {
		e.format = string(show.AsJSON)
	}
	f, err := show.ParseFormat(e.format)
	if err != nil {
		return nil, usagef("%v", err)
	}
	return &show.Printer{W: e.out, Format: f, Width: e.width()}, nil
}

// width is that of the terminal, or zero where the output goes elsewhere.
func (e *env) width() int {
	f, ok := e.out.(*os.File)
	if !ok {
		return 0
	}
	w, _, err := term.GetSize(int(f.Fd()))
	if err != nil {
		return 0
	}
	return w
}

// writeOptions are what every command that records a fact takes.
type writeOptions struct {
	At     string
	ID     string
	DryRun bool

	Actor    string             // of an act: who did it, where another records it
	Override inventory.Override // of an act: what a rule refuses is asked for
}

// actFlags are flags with what an act at the window may carry.
func (o *writeOptions) actFlags() []cli.Flag {
	return append(o.flags(),
		&cli.StringFlag{Name: "actor", Usage: "`WHO` did it, where another records it afterwards", Destination: &o.Actor},
		&cli.StringFlag{Name: "override", Usage: "`REASON` to do what a rule refuses; --by has the authority", Destination: &o.Override.Why},
		&cli.StringFlag{Name: "asked-by", Usage: "`WHO` asks for the override", Destination: &o.Override.Proposer})
}

// act writes what was given into an entry's act.
func (o *writeOptions) act(e inventory.Entry) {
	a := inventory.ActOf(e)
	if a == nil {
		return
	}
	a.Actor = o.Actor
	if o.Override != (inventory.Override{}) {
		a.Override = &o.Override
	}
}

func (o *writeOptions) flags() []cli.Flag {
	return []cli.Flag{
		&cli.StringFlag{Name: "at", Usage: "`TIME` it happened, 2025-06-05 07:00 on the site's clock; now where left out", Destination: &o.At},
		&cli.StringFlag{Name: "id", Usage: "`UUID` of the fact; the same one again records nothing twice", Destination: &o.ID},
		&cli.BoolFlag{Name: "dry-run", Usage: "say what would happen and write nothing", Destination: &o.DryRun},
	}
}

// record records a fact and says its warnings.
func (e *env) record(ctx context.Context, o writeOptions, entry inventory.Entry) (app.Done, error) {
	all, err := e.recordAll(ctx, o, []inventory.Entry{entry})
	if err != nil {
		return app.Done{}, err
	}
	return all[0], nil
}

// recordAll records facts that belong together: all of them or none.
func (e *env) recordAll(ctx context.Context, o writeOptions, entries []inventory.Entry) ([]app.Done, error) {
	a, err := e.open(ctx)
	if err != nil {
		return nil, err
	}
	for _, entry := range entries {
		o.act(entry)
	}
	request := app.Request{By: strings.TrimSpace(e.by), DryRun: o.DryRun}
	if o.ID != "" {
		id, err := uuid.Parse(o.ID)
		if err != nil {
			return nil, usagef("--id %q: not a UUID", o.ID)
		}
		request.ID = id.String()
	}
	if o.At != "" {
		if request.At, err = a.Instant(ctx, o.At); err != nil {
			return nil, err
		}
	}
	all, err := a.RecordAll(ctx, request, entries)
	if err != nil {
		return nil, err
	}
	if o.DryRun {
		e.ranDry()
	}
	zone, err := a.Zone(ctx)
	if err != nil {
		return nil, err
	}
	said := map[string]bool{}
	for _, d := range all {
		if d.Repeat {
			fmt.Fprintf(e.errs, "already recorded at %s; nothing was written twice\n", d.Fact.Noted.In(zone))
		}
		for _, w := range d.Warnings {
			if !said[w] {
				e.warn("%s", w)
			}
			said[w] = true
		}
	}
	return all, nil
}

// ranDry says to a person, and keeps for the answer, that nothing was written.
func (e *env) ranDry() {
	e.dry = true
	fmt.Fprintln(e.errs, "dry run: nothing was written")
}

// instant reads a time that a command was given, zero where none was.
func instant(ctx context.Context, a *app.App, text string) (measure.Instant, error) {
	if text == "" {
		return 0, nil
	}
	return a.Instant(ctx, text)
}

// input opens a file, or standard input for "-". The second result closes it.
func (e *env) input(name string) (io.Reader, func(), error) {
	if name == "-" {
		return e.in, func() {}, nil
	}
	f, err := os.Open(name)
	if err != nil {
		return nil, nil, err
	}
	return f, func() {
		if err := f.Close(); err != nil {
			fmt.Fprintf(e.errs, "ovenward: closing %s: %v\n", name, err)
		}
	}, nil
}
