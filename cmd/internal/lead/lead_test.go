package lead_test

import (
	"errors"
	"fmt"
	"log/slog"
	"os"
	"os/exec"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/jmoiron/sqlx"

	"ovenward/alerts/alarmdb"
	"ovenward/cmd/internal/lead"
	"ovenward/migrations/db"
	"ovenward/migrations/db/dbtest"
)

// A lease that never passes in a test, and one that has passed at once.
const (
	long  = time.Hour
	short = time.Nanosecond
)

// program is one of several that watch a site, on a machine of its own.
type program struct {
	t *testing.T
	*lead.Lead
	db    *db.DB // fenced
	clock time.Time
	turns []bool
}

var noon = time.Date(2026, 3, 2, 12, 0, 0, 0, time.UTC)

func start(t *testing.T, d *db.DB, host string, lease time.Duration) *program {
	p := &program{t: t, clock: noon}
	p.Lead = lead.New(d, "yard", func() time.Time { return p.clock }, lease, slog.New(slog.DiscardHandler),
		func(leads bool) { p.turns = append(p.turns, leads) }).On(host, 1)
	p.db = d.Fenced(p.Check)
	return p
}

func (p *program) step() *program {
	p.t.Helper()
	if err := p.Step(p.t.Context()); err != nil {
		p.t.Fatal(err)
	}
	return p
}

// write writes something as the watch does: it joins a channel.
func (p *program) write(channel string) error {
	return p.db.Write(p.t.Context(), func(tx *sqlx.Tx) error {
		_, err := alarmdb.ToldBy(p.t.Context(), tx, "yard", channel)
		return err
	})
}

func channels(t *testing.T, d *db.DB) (names []string) {
	t.Helper()
	err := d.Read(t.Context(), func(tx *sqlx.Tx) error {
		names = nil
		list, err := alarmdb.AllUntold(t.Context(), tx, "yard")
		for _, c := range list {
			names = append(names, c.Channel)
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return names
}

func wantLeads(t *testing.T, what string, p *program, want bool) {
	t.Helper()
	if p.Leads() != want {
		t.Errorf("%s: it leads: %t, want %t", what, p.Leads(), want)
	}
	err := p.write(what)
	if want && err != nil || !want && !errors.Is(err, lead.ErrNotLeading) {
		t.Errorf("%s: writing: %v, want it possible: %t", what, err, want)
	}
}

func TestOneLeadsUntilItLaysTheLeadDown(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, open func() *db.DB) {
		a, b := start(t, open(), "a", long).step(), start(t, open(), "b", long).step()
		wantLeads(t, "the first", a, true)
		wantLeads(t, "the second", b, false)
		if _, err := b.Once(t.Context()); !errors.Is(err, lead.ErrNotLeading) {
			t.Errorf("a single run beside the first: %v, want ErrNotLeading", err)
		}
		lead.LayDown(a.Lead, t.Context())
		wantLeads(t, "the first when it ended", a, false)
		wantLeads(t, "the second then", b.step(), true)
		if got := channels(t, b.db); len(got) != 2 {
			t.Errorf("written by those that did not lead, too: %q", got)
		}
	})
}

// TestWhoWasFrozenWritesNothing: another took over while it gave no sign of life,
// and it wakes up believing that it leads.
func TestWhoWasFrozenWritesNothing(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, open func() *db.DB) {
		a, b := start(t, open(), "a", long).step(), start(t, open(), "b", short)
		lead.SetLease(b.step().Lead, long)
		wantLeads(t, "the second, which waited for its lease", b, true)
		if !a.Leads() {
			t.Fatal("the first knows already that it lost the lead: nothing is shown")
		}
		if err := a.write("late"); !errors.Is(err, lead.ErrNotLeading) {
			t.Errorf("the first writes: %v, want ErrNotLeading", err)
		}
		if err := a.Confirm(t.Context()); !errors.Is(err, lead.ErrNotLeading) {
			t.Errorf("the first asks before it sends: %v, want ErrNotLeading", err)
		}
		wantLeads(t, "the first afterwards", a.step(), false)
		if got := fmt.Sprint(a.turns, b.turns); got != "[true false] [true]" {
			t.Errorf("they were told %s, want the first of both turns and the second of one", got)
		}
	})
}

// TestASignOfLifeKeepsTheLead: another saw the leader silent, but it wrote since.
func TestASignOfLifeKeepsTheLead(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, open func() *db.DB) {
		d := open()
		a := start(t, d, "a", long).step()
		var seen alarmdb.Lead
		take := func() (taken bool) {
			err := d.Write(t.Context(), func(tx *sqlx.Tx) (err error) {
				_, taken, err = alarmdb.TakeLead(t.Context(), tx, "yard", seen, alarmdb.Lead{Host: "b", Process: 1})
				return err
			})
			if err != nil {
				t.Fatal(err)
			}
			return taken
		}
		look := func() {
			err := d.Read(t.Context(), func(tx *sqlx.Tx) (err error) {
				seen, err = alarmdb.Leader(t.Context(), tx, "yard")
				return err
			})
			if err != nil {
				t.Fatal(err)
			}
		}
		for what, alive := range map[string]func() error{
			"it wrote": func() error { return a.write("x") }, "it renewed the lease": func() error { return a.Step(t.Context()) }} {
			look()
			if err := alive(); err != nil {
				t.Fatal(err)
			}
			if take() {
				t.Errorf("%s, and lost the lead all the same", what)
			}
		}
		if look(); !take() {
			t.Error("silent since it was seen, and kept the lead")
		}
	})
}

// TestClocksThatAreSetWrong make nobody lose the lead twice: whose clock is far ahead
// takes the lead at first sight from what looks outdated, and after that neither
// takes it back.
func TestClocksThatAreSetWrong(t *testing.T) {
	t.Parallel()
	for _, off := range []time.Duration{-24 * time.Hour, -time.Hour, -time.Second, time.Second, time.Hour, 24 * time.Hour} {
		t.Run(off.String(), func(t *testing.T) {
			t.Parallel()
			d := dbtest.Any(t)
			a, b := start(t, d, "a", long).step(), start(t, d, "b", long)
			b.clock = b.clock.Add(off)
			for range 5 {
				b.step()
				a.step()
			}
			want := "[true] []"
			if off > 5*time.Minute {
				want = "[true false] [true]"
			}
			if got := fmt.Sprint(a.turns, b.turns); got != want {
				t.Errorf("their turns were %s, want %s", got, want)
			}
		})
	}
}

// TestALeaderWhoseClockIsSetKeepsTheLead by a day both ways.
func TestALeaderWhoseClockIsSetKeepsTheLead(t *testing.T) {
	t.Parallel()
	d := dbtest.Any(t)
	a, b := start(t, d, "a", long).step(), start(t, d, "b", long).step()
	for _, step := range []time.Duration{24 * time.Hour, -48 * time.Hour, time.Hour} {
		a.clock = a.clock.Add(step)
		a.step()
		b.step()
	}
	if got := fmt.Sprint(a.turns, b.turns); got != "[true] []" {
		t.Errorf("their turns were %s, want that the first leads all the time", got)
	}
}

// TestWhatAKilledProcessLeftIsTakenAtOnce on the same machine.
func TestWhatAKilledProcessLeftIsTakenAtOnce(t *testing.T) {
	t.Parallel()
	dead := exec.CommandContext(t.Context(), os.Args[0], "-test.run=^$")
	if err := dead.Run(); err != nil {
		t.Fatal(err)
	}
	alive := int64(os.Getpid())
	for _, tt := range []struct {
		name, host string
		process    int64
		taken      bool
	}{
		{"a dead process here", "a", int64(dead.Process.Pid), true},
		{"a live process here", "a", alive, false},
		{"a dead number elsewhere", "b", int64(dead.Process.Pid), false},
	} {
		d := dbtest.SQLite(t)
		before, next := start(t, d, "", long), start(t, d, "", long)
		before.On(tt.host, tt.process)
		before.step()
		next.On("a", 1)
		if next.step(); next.Leads() != tt.taken {
			t.Errorf("%s: taken over: %t, want %t", tt.name, next.Leads(), tt.taken)
		}
	}
}

// TestManyThatStartTogetherMakeOneLeader, again and again; the token grows each
// time.
func TestManyThatStartTogetherMakeOneLeader(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, open func() *db.DB) {
		d := open()
		const rounds, programs = 5, 6
		var before int64
		for range rounds {
			var leaders atomic.Int64
			var all sync.WaitGroup
			var mu sync.Mutex
			var leader *program
			for i := range programs {
				p := start(t, d, fmt.Sprint("host-", i), long)
				all.Go(func() {
					if err := p.Step(t.Context()); err != nil {
						t.Error(err)
					}
					if p.Leads() {
						leaders.Add(1)
						mu.Lock()
						leader = p
						mu.Unlock()
					}
				})
			}
			all.Wait()
			if leaders.Load() != 1 {
				t.Fatalf("%d lead, want one", leaders.Load())
			}
			token := tokenOf(t, d)
			if token <= before {
				t.Errorf("token %d after %d", token, before)
			}
			before = token
			lead.LayDown(leader.Lead, t.Context())
		}
	})
}

func tokenOf(t *testing.T, d *db.DB) (token int64) {
	t.Helper()
	err := d.Read(t.Context(), func(tx *sqlx.Tx) error {
		l, err := alarmdb.Leader(t.Context(), tx, "yard")
		token = l.Token
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return token
}

// TestALeaderFrozenInATransactionDoesNotKeepItsLocks: the server ends what does
// nothing for so long, the other takes over, and the frozen one has written nothing.
func TestALeaderFrozenInATransactionDoesNotKeepItsLocks(t *testing.T) {
	t.Parallel()
	dsn := dbtest.Server(t)
	a := start(t, dbtest.Open(t, dsn, db.WithIdleLimit(200*time.Millisecond)), "a", long).step()
	d := dbtest.Open(t, dsn)
	b := start(t, d, "b", short)
	frozen, woken, ended := make(chan bool), make(chan bool), make(chan error, 1)
	go func() {
		first := true
		ended <- a.db.Write(t.Context(), func(tx *sqlx.Tx) error {
			if _, err := alarmdb.ToldBy(t.Context(), tx, "yard", "late"); err != nil {
				return err
			}
			if first {
				first = false
				close(frozen)
				<-woken
			}
			return nil
		})
	}()
	<-frozen
	b.step() // waits for the server to end the frozen one's transaction
	lead.SetLease(b.Lead, long)
	close(woken)
	if err := <-ended; err == nil {
		t.Error("the frozen one wrote when it woke up")
	}
	if !b.Leads() || len(channels(t, d)) != 0 {
		t.Errorf("the other leads: %t; written: %q", b.Leads(), channels(t, d))
	}
}
