package main

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"sync"
	"time"

	"github.com/jmoiron/sqlx"
	"github.com/rogpeppe/go-internal/testscript"

	"ovenward/inventory/ledger"
	"ovenward/inventory/ledgerdb"
	"ovenward/migrations/db"
)

var scriptCommands = map[string]func(ts *testscript.TestScript, neg bool, args []string){
	"exits":     exits,
	"unwritten": unwritten,
	"refused":   refused,
	"clock":     clock,
	"shop":      setUpShop,
	"masked":    masked,
	"doctored":  doctor,
	"reports":   everyReport,
	"lock":      takeLock,
	"unlock":    giveLock,
	"newer":     makeNewer,
	"nobody":    giveUpRights,
}

// exits runs a command and compares its exit status.
func exits(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: exits STATUS COMMAND ARG...")
	}
	want, err := strconv.Atoi(args[0])
	ts.Check(err)
	got := 0
	if err := ts.Exec(args[1], args[2:]...); err != nil {
		ended, ok := errors.AsType[*exec.ExitError](err)
		if !ok {
			ts.Check(fmt.Errorf("%s: %w", args[1], err))
		}
		got = ended.ExitCode()
	}
	if got != want {
		ts.Fatalf("%s exited with %d, want %d", strings.Join(args[1:], " "), got, want)
	}
}

// unwritten is exits for a command that must not write anything.
func unwritten(ts *testscript.TestScript, neg bool, args []string) {
	before := written(ts)
	exits(ts, neg, args)
	if after := written(ts); after != before {
		ts.Fatalf("%s wrote something: %s before, %s after", strings.Join(args[1:], " "), before, after)
	}
}

// refused runs a command that a rule must refuse.
func refused(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: refused CODE COMMAND ARG...")
	}
	unwritten(ts, false, append([]string{strconv.Itoa(exitRefused)}, args[1:]...))
	said := ts.ReadFile("stderr")
	for _, want := range []string{`(?m)^REFUSED  \S`, `(?m)^  code   ` + regexp.QuoteMeta(args[0]) + `$`, `(?m)^  next   \S`} {
		if !regexp.MustCompile(want).MatchString(said) {
			ts.Fatalf("%s: no line %s", strings.Join(args[1:], " "), want)
		}
	}
}

// written says how much the database holds: its facts, its readings, its plans.
func written(ts *testscript.TestScript) (state string) {
	if name, ok := strings.CutPrefix(ts.Getenv("OVENWARD_DB"), "sqlite:"); ok {
		if _, err := os.Stat(name); errors.Is(err, fs.ErrNotExist) {
			return "0 facts, 0 readings"
		}
	}
	d := database(ts)
	defer func() { ts.Check(d.Close()) }()
	ts.Check(d.Read(context.Background(), func(tx *sqlx.Tx) error {
		var facts, readings int
		if err := tx.Get(&facts, `SELECT count(*) FROM fact`); err != nil {
			return err
		}
		if err := tx.Get(&readings, `SELECT count(*) FROM reading`); err != nil {
			return err
		}
		state = fmt.Sprintf("%d facts, %d readings", facts, readings)
		return nil
	}))
	return state
}

func database(ts *testscript.TestScript) *db.DB {
	d, err := db.Open(context.Background(), ts.Getenv("OVENWARD_DB"))
	ts.Check(err)
	return d
}

// clock sets the script's clock, and before that enters an oven's readings.
func clock(ts *testscript.TestScript, neg bool, args []string) {
	if neg || (len(args) != 1 && len(args) != 3) {
		ts.Fatalf("usage: clock TIME [PLACE VALUE]")
	}
	if len(args) == 1 {
		setClock(ts, args[0])
		return
	}
	for now, to := readClock(ts), atClock(ts, args[0]); now.Before(to); {
		now = now.Add(time.Hour)
		if now.After(to) {
			now = to
		}
		setClock(ts, now.Format(clockForm))
		within(ts, "oven", "read", args[1], args[2])
	}
}

// oneAtATime keeps runs of the program inside of the test apart: the library
// for command lines has flags of its own that every run writes to.
var oneAtATime sync.Mutex

// within runs the program inside of the test, which is quicker than a process
// for what a script is not about.
func within(ts *testscript.TestScript, args ...string) {
	oneAtATime.Lock()
	defer oneAtATime.Unlock()
	var out, errs strings.Builder
	e := &env{in: strings.NewReader(""), out: &out, errs: &errs, now: func() time.Time { return readClock(ts) }}
	line := []string{"ovenward", "--db", ts.Getenv("OVENWARD_DB"), "--by", ts.Getenv("OVENWARD_BY")}
	if status := e.run(context.Background(), append(line, args...)); status != exitDone {
		ts.Fatalf("%s: exit status %d\n%s", strings.Join(args, " "), status, errs.String())
	}
}

func setClock(ts *testscript.TestScript, text string) {
	ts.Setenv(clockVariable, atClock(ts, text).Format(time.RFC3339))
}

func readClock(ts *testscript.TestScript) time.Time {
	now, err := time.Parse(time.RFC3339, ts.Getenv(clockVariable))
	ts.Check(err)
	return now.In(zone(ts))
}

// atClock reads a time on the site's clock; without a date it is that of the
// clock as it stands.
func atClock(ts *testscript.TestScript, text string) time.Time {
	if len(text) <= len(clockFormShort) {
		text = readClock(ts).Format("2006-01-02 ") + text
	}
	at, err := time.ParseInLocation(clockForm, text, zone(ts))
	ts.Check(err)
	return at
}

func zone(ts *testscript.TestScript) *time.Location {
	z, err := time.LoadLocation(scriptZone)
	ts.Check(err)
	return z
}

var (
	anID   = regexp.MustCompile(`[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}`)
	aHash  = regexp.MustCompile(`[0-9a-f]{64}`)
	onlyID = strings.Repeat("0", 64) // before the first fact
)

// masked prints a file with <id> and <hash> for what every run makes anew.
func masked(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 1 {
		ts.Fatalf("usage: masked FILE")
	}
	s := strings.ReplaceAll(ts.ReadFile(args[0]), onlyID, "<start>")
	_, err := ts.Stdout().Write([]byte(aHash.ReplaceAllString(anID.ReplaceAllString(s, "<id>"), "<hash>")))
	ts.Check(err)
}

// lock is a transaction of someone else's.
type lock struct {
	release context.CancelFunc
	done    chan error
}

// lockKey is where a script's lock is kept.
type lockKey struct{}

// takeLock begins to write to the database and does not end.
func takeLock(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) > 0 {
		ts.Fatalf("usage: lock")
	}
	l := ts.Value(lockKey{}).(*lock)
	released, release := context.WithCancel(context.Background())
	l.release, l.done = release, make(chan error, 1)
	held := make(chan struct{})
	d := database(ts)
	ts.Defer(func() {
		release()
		ts.Check(d.Close())
	})
	go func() {
		l.done <- d.Write(context.Background(), func(tx *sqlx.Tx) error {
			if _, err := ledgerdb.Lock(context.Background(), tx, "main"); err != nil {
				return err
			}
			close(held)
			<-released.Done()
			return nil
		})
	}()
	select {
	case <-held:
	case err := <-l.done:
		ts.Fatalf("lock: %v", err)
	}
	ts.Setenv(hurryVariable, "1")
}

func giveLock(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) > 0 {
		ts.Fatalf("usage: unlock")
	}
	l := ts.Value(lockKey{}).(*lock)
	l.release()
	ts.Check(<-l.done)
}

// makeNewer marks the database as one that a later program has changed.
func makeNewer(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) > 0 {
		ts.Fatalf("usage: newer")
	}
	d := database(ts)
	defer func() { ts.Check(d.Close()) }()
	ts.Check(d.Write(context.Background(), func(tx *sqlx.Tx) error {
		_, err := tx.Exec(`INSERT INTO schema_version (version, name, sha256) VALUES (9999, 'later', '')`)
		return err
	}))
}

// doctor changes text in the facts that name something, past the program, and makes the chain anew so
// that it holds.
func doctor(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 3 {
		ts.Fatalf("usage: doctored NAME OLD NEW")
	}
	d := database(ts)
	defer func() { ts.Check(d.Close()) }()
	ctx, guard := context.Background(), map[db.Engine]string{db.SQLite: `fact_no_update`, db.Postgres: `fact_no_change ON fact`}
	ts.Check(d.Write(ctx, func(tx *sqlx.Tx) error {
		if _, err := tx.Exec(`DROP TRIGGER ` + guard[d.Engine()]); err != nil {
			return err
		}
		facts, err := ledgerdb.Page(ctx, tx, "main", 0, 1000)
		if err != nil {
			return err
		}
		head := ledger.Start("main")
		for _, f := range facts {
			if strings.Contains(f.Body, args[0]) {
				f.Body = strings.ReplaceAll(f.Body, args[1], args[2])
			}
			f, err := head.Next(ledger.Draft{ID: f.ID, Kind: f.Kind, At: f.At, Noted: f.Noted, By: f.By, Via: f.Via,
				Body: f.Body, Supersedes: f.Supersedes, Reason: f.Reason})
			if err != nil {
				return err
			}
			head = f.Head()
			if _, err := tx.Exec(`UPDATE fact SET body = $1, prev = $2, hash = $3 WHERE site = 'main' AND seq = $4`, f.Body, f.Prev, f.Hash, f.Seq); err != nil {
				return err
			}
		}
		_, err = tx.Exec(`UPDATE head SET hash = $1 WHERE site = 'main'`, head.Hash)
		return err
	}))
}

// giveUpRights lets commands run as a user whom file modes stop, and lets that
// user reach the script's folder.
func giveUpRights(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) > 0 {
		ts.Fatalf("usage: nobody")
	}
	work := ts.Getenv("WORK")
	for _, dir := range []string{filepath.Dir(work), work} {
		ts.Check(os.Chmod(dir, 0o755))
	}
	ts.Setenv(userVariable, "1")
}
