package main

import (
	"context"
	"errors"
	"fmt"

	"github.com/urfave/cli/v2"

	"ovenward/alerts/alarmdb"
	"ovenward/cmd/internal/app"
	"ovenward/cmd/internal/backup"
	"ovenward/cmd/internal/show"
	"ovenward/inventory/ledger"
)

// backupOptions are the options of "ovenward backup".
type backupOptions struct {
	To   string
	Keep backup.Keep
}

func newBackupCommand(e *env) *cli.Command {
	var o backupOptions
	return &cli.Command{
		Name: "backup", Category: setUp, Usage: "copy the whole database to a folder while it is in use",
		Description: `The copy has its name only once it is whole and on the disk. An SQLite file is
copied as one commit left it; a PostgreSQL database by pg_dump, which must be
installed. It holds every site of the database.

With --keep-daily and --keep-weekly older copies of this database are removed from
the folder but for the newest of each of so many days and weeks. Without them all
are kept.

   ovenward backup --to /mnt/backup --keep-daily 7 --keep-weekly 5

Keep the folder on another disk or machine. Only a restored backup is one: try it
with ovenward backup drill FILE.`,
		Flags: []cli.Flag{
			&cli.StringFlag{Name: "to", Usage: "`FOLDER` of the copies", Destination: &o.To},
			&cli.IntFlag{Name: "keep-daily", Usage: "`NUMBER` of days of which a copy is kept", Destination: &o.Keep.Daily},
			&cli.IntFlag{Name: "keep-weekly", Usage: "`NUMBER` of weeks of which a copy is kept", Destination: &o.Keep.Weekly},
		},
		Subcommands: []*cli.Command{newBackupDrillCommand(e)},
		Action: func(c *cli.Context) error {
			switch {
			case c.NArg() > 0:
				return usagef("backup has no command %q", c.Args().First())
			case o.To == "":
				return usagef("backup needs a folder: --to FOLDER")
			case o.Keep.Daily < 0 || o.Keep.Weekly < 0:
				return usagef("--keep-daily and --keep-weekly are numbers from 0 on")
			}
			return runBackup(c.Context, e, o)
		},
	}
}

func runBackup(ctx context.Context, e *env, o backupOptions) error {
	p, err := e.screen(ctx, "")
	if err != nil {
		return err
	}
	head, err := p.app.Head(ctx)
	if err != nil {
		return err
	}
	made, err := backUp(ctx, p.app, e.dsn, o.To, 0)
	if err != nil {
		return err
	}
	gone, err := o.Keep.Prune(e.db, e.dsn, o.To, p.zone)
	if err != nil {
		e.warn("the backup is made, but an old one could not be removed: %v", err)
	}
	if p.Format == show.AsTable {
		return p.Line("BACKED UP  %s  %d bytes, site %s with %d facts or more; %d old ones removed\ntry it: ovenward backup drill %s",
			made.File, made.Bytes, p.app.Site, head.Seq, len(gone), made.File)
	}
	t := show.Table{Head: []string{"file", "bytes", "facts", "removed"}}
	t.Add(made.File, fmt.Sprint(made.Bytes), fmt.Sprint(head.Seq), fmt.Sprint(len(gone)))
	return p.Answer(map[string]any{"file": made.File, "bytes": made.Bytes, "site": p.app.Site, "facts": head.Seq, "removed": some(gone)}, t)
}

func newBackupDrillCommand(e *env) *cli.Command {
	var into string
	return &cli.Command{
		Name: "drill", Usage: "restore a backup beside the database and compare its ledger", ArgsUsage: "FILE",
		Description: `Verifies the chain of the restored ledger and everything that follows from it, and
compares the last fact with the live ledger's of that number. A copy of an SQLite
file is restored into a temporary folder that is removed afterwards. A dump of
PostgreSQL is restored with pg_restore into the empty database of --into, which is
yours to drop afterwards:

   createdb drill
   ovenward backup drill --into postgres:///drill ovenward-20260302T023000Z.dump`,
		Flags: []cli.Flag{&cli.StringFlag{Name: "into", Usage: "empty `DATABASE` for a dump: postgres://...", Destination: &into}},
		Action: func(c *cli.Context) error {
			if c.NArg() != 1 {
				return usagef("backup drill takes one file")
			}
			return runBackupDrill(c.Context, e, c.Args().First(), into)
		},
	}
}

// errBadBackup ends a drill that found a bad backup; why was printed.
var errBadBackup = errors.New("this backup is not good: make another and find out why")

func runBackupDrill(ctx context.Context, e *env, file, into string) (err error) {
	p, err := e.screen(ctx, "")
	if err != nil {
		return err
	}
	begun := e.now()
	d, err := drill(ctx, p.app, file, into)
	if errors.Is(err, backup.ErrNoPlace) {
		return usagef("%v: make one, such as with createdb drill, and name it: --into postgres:///drill", err)
	}
	if err != nil {
		return err
	}
	u := alarmdb.Upkeep{Task: alarmdb.Drill, Facts: d.Head.Seq, Hash: d.Head.Hash, Compared: d.Rows, File: file, Problem: d.Problem}
	if err := noteUpkeep(ctx, p.app, u, begun, 0, nil); err != nil {
		return err
	}
	t := show.Table{Title: fmt.Sprintf("site %s: the backup has %d facts, last hash %s; %d facts came since", p.app.Site, d.Head.Seq,
		d.Head.Hash, max(0, d.Live.Seq-d.Head.Seq)),
		Head:  []string{"problem"},
		Empty: fmt.Sprintf("It was restored: chain unbroken, %d rows follow from the facts, and the last fact is that of the ledger in use.", d.Rows)}
	if d.Problem != "" {
		t.Add(d.Problem)
	}
	if err := p.Answer(map[string]any{"site": p.app.Site, "file": file, "facts": d.Head.Seq, "hash": d.Head.Hash, "live": d.Live.Seq,
		"rows": d.Rows, "problem": d.Problem}, t); err != nil {
		return err
	}
	if d.Problem != "" {
		return errBadBackup
	}
	return nil
}

// drill restores a backup, compares it and clears up. A broken chain is what it is
// to find, and no failure.
func drill(ctx context.Context, a *app.App, file, into string) (d app.Drilled, err error) {
	r, err := backup.Restore(ctx, a.DB, file, into)
	if err != nil {
		return d, err
	}
	defer func() { err = errors.Join(err, r.Close()) }()
	d, err = a.Drill(ctx, r.DB)
	if broken, ok := errors.AsType[*ledger.BrokenError](err); ok {
		d.Problem, err = broken.Error(), nil
	}
	return d, err
}
