package jobdb_test

import (
	"errors"
	"sync"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/jmoiron/sqlx"

	"ovenward/inventory"
	"ovenward/inventory/jobdb"
	"ovenward/inventory/measure"
	"ovenward/migrations/db"
	"ovenward/migrations/db/dbtest"
)

// Every test keeps to a site of its own on one database of each engine.
func TestStore(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, open func() *db.DB) {
		t.Parallel()
		d := open()
		t.Run("every field is read back", func(t *testing.T) { everyFieldIsReadBack(t, d) })
		t.Run("a late issue sees what stood then", func(t *testing.T) { whatStoodThen(t, d) })
		t.Run("of two facts of one instant the later recorded stands", func(t *testing.T) { correctionStands(t, d) })
		t.Run("papers of a lot", func(t *testing.T) { papersOfALot(t, d) })
		t.Run("turned away between two instants", func(t *testing.T) { turnedAwayBetween(t, d) })
		t.Run("two writers", func(t *testing.T) { twoWriters(t, d, open()) })
		t.Run("a failed transaction leaves nothing", func(t *testing.T) { failureLeavesNothing(t, d) })
	})
}

func everyFieldIsReadBack(t *testing.T, d *db.DB) {
	joint := inventory.JointSet{Joint: "J-1", Job: "Barge 12", Procedure: "P-7", Classes: []string{"E7018"}, Diameters: []string{"1/8 in"},
		BaseMetal: "A514", Service: "sour", Pass: "root", Welders: []string{"W3", "W7"}, HeatTreated: true, HeatTime: "8h", Note: "keel \"A\""}
	job := inventory.JobSet{Job: "Barge 12", Certificate: "3.1", Actual: true, Approvals: []string{"ship class"}, Owner: "the yard", Note: "no. 12"}
	do(t, d, "fields", fact{1, 1, &joint}, fact{2, 2, &job})
	got := joints(t, d, "fields", hours(9))
	if diff := cmp.Diff([]jobdb.Stood[inventory.JointSet]{{Entry: joint, Since: hours(1), By: "A1"}}, got); diff != "" {
		t.Errorf("Joints (-want +got):\n%s", diff)
	}
	one := read(t, d, func(tx *sqlx.Tx) (inventory.JobSet, error) {
		return jobdb.Job(t.Context(), tx, "fields", "Barge 12", hours(2))
	})
	if diff := cmp.Diff(job, one); diff != "" {
		t.Errorf("Job (-want +got):\n%s", diff)
	}
	other := read(t, d, func(tx *sqlx.Tx) (bool, error) { return jobdb.AnyJoint(t.Context(), tx, "another site") })
	if other {
		t.Error("a site without joints has some")
	}
}

func whatStoodThen(t *testing.T, d *db.DB) {
	do(t, d, "then", fact{1, 2, &inventory.JointSet{Joint: "J-1", Procedure: "P-1"}}, fact{2, 6, &inventory.JointSet{Joint: "J-1", Procedure: "P-2"}},
		fact{3, 4, &inventory.JointSet{Joint: "J-2", Procedure: "P-9"}})
	for _, c := range []struct {
		hour int64
		want string // of J-1
		all  int
	}{{1, "", 0}, {2, "P-1", 1}, {5, "P-1", 2}, {6, "P-2", 2}} {
		got, err := jointAt(t, d, "then", "J-1", hours(c.hour))
		if got.Procedure != c.want || (c.want == "") != errors.Is(err, db.ErrNotFound) {
			t.Errorf("at hour %d: %q, %v; want %q", c.hour, got.Procedure, err, c.want)
		}
		if list := joints(t, d, "then", hours(c.hour)); len(list) != c.all {
			t.Errorf("at hour %d: %d joints, want %d", c.hour, len(list), c.all)
		}
	}
}

func jointAt(t *testing.T, d *db.DB, site, name string, at measure.Instant) (j inventory.JointSet, err error) {
	t.Helper()
	err = d.Read(t.Context(), func(tx *sqlx.Tx) (err error) {
		j, err = jobdb.Joint(t.Context(), tx, site, name, at)
		return err
	})
	return j, err
}

// A fact that is corrected is applied again under the number of its correction.
func correctionStands(t *testing.T, d *db.DB) {
	do(t, d, "corrected", fact{2, 3, &inventory.JointSet{Joint: "J-1", Procedure: "right"}}, fact{1, 3, &inventory.JointSet{Joint: "J-1", Procedure: "wrong"}})
	got, err := jointAt(t, d, "corrected", "J-1", hours(3))
	if err != nil || got.Procedure != "right" {
		t.Errorf("Joint = %q, %v; want right", got.Procedure, err)
	}
	list := joints(t, d, "corrected", hours(3))
	if len(list) != 1 || list[0].Entry.Procedure != "right" {
		t.Errorf("Joints = %+v, want the right one alone", list)
	}
}

func papersOfALot(t *testing.T, d *db.DB) {
	first := inventory.CertificateSet{Lot: "7B21", Number: "C-2", SortKind: "2.2", Condition: "as welded"}
	again := inventory.CertificateSet{Lot: "7B21", Number: "C-2", SortKind: "3.1", Actual: true, Tested: "2025-05-02", HeatTime: "8h",
		Approvals: []string{"ship class"}, Digest: "ab12"}
	second := inventory.CertificateSet{Lot: "7B21", Number: "C-1", Rejected: "another lot"}
	do(t, d, "papers", fact{1, 1, &first}, fact{2, 2, &second}, fact{3, 5, &again}, fact{4, 1, &inventory.CertificateSet{Lot: "7C04", Number: "C-2"}})
	got := read(t, d, func(tx *sqlx.Tx) ([]jobdb.Stood[inventory.CertificateSet], error) {
		return jobdb.Certificates(t.Context(), tx, "papers", "7B21", hours(5))
	})
	want := []jobdb.Stood[inventory.CertificateSet]{{Entry: second, Since: hours(2), By: "A1"}, {Entry: again, Since: hours(5), By: "A1"}}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("Certificates (-want +got):\n%s", diff)
	}
	versions := read(t, d, func(tx *sqlx.Tx) ([]jobdb.Stood[inventory.CertificateSet], error) {
		return jobdb.CertificateVersions(t.Context(), tx, "papers", "7B21", hours(5))
	})
	want = []jobdb.Stood[inventory.CertificateSet]{{Entry: first, Since: hours(1), By: "A1"}, want[0], want[1]}
	if diff := cmp.Diff(want, versions); diff != "" {
		t.Errorf("CertificateVersions (-want +got):\n%s", diff)
	}
	site := read(t, d, func(tx *sqlx.Tx) ([]jobdb.Stood[inventory.CertificateSet], error) {
		return jobdb.Papers(t.Context(), tx, "papers", hours(2))
	})
	want = []jobdb.Stood[inventory.CertificateSet]{{Entry: second, Since: hours(2), By: "A1"}, {Entry: first, Since: hours(1), By: "A1"},
		{Entry: inventory.CertificateSet{Lot: "7C04", Number: "C-2"}, Since: hours(1), By: "A1"}}
	if diff := cmp.Diff(want, site); diff != "" {
		t.Errorf("Papers (-want +got):\n%s", diff)
	}
}

func turnedAwayBetween(t *testing.T, d *db.DB) {
	no := func(joint string) *inventory.TurnedAway {
		return &inventory.TurnedAway{Code: inventory.WrongClass, Why: "not on its procedure", Welder: "W3", Pieces: 5, Joints: []string{joint}}
	}
	do(t, d, "away", fact{1, 1, no("J-1")}, fact{2, 5, no("J-2")}, fact{3, 3, no("J-3")}, fact{4, 6, no("J-4")})
	got := read(t, d, func(tx *sqlx.Tx) ([]jobdb.Stood[inventory.TurnedAway], error) {
		return jobdb.TurnedAway(t.Context(), tx, "away", hours(3), hours(5))
	})
	want := []jobdb.Stood[inventory.TurnedAway]{{Entry: *no("J-3"), Since: hours(3), By: "A1"}, {Entry: *no("J-2"), Since: hours(5), By: "A1"}}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("TurnedAway (-want +got):\n%s", diff)
	}
}

// Two programs write at once; neither loses what the other wrote.
func twoWriters(t *testing.T, one, other *db.DB) {
	const each = 10
	var wg sync.WaitGroup
	for i, d := range []*db.DB{one, other} {
		wg.Go(func() {
			for n := range int64(each) {
				set := &inventory.JointSet{Joint: "J-1", Procedure: "P"}
				if err := apply(t, d, "writers", fact{seq: 1 + int64(i)*each + n, hour: n, entry: set}); err != nil {
					t.Error(err)
				}
			}
		})
	}
	wg.Wait()
	var count int
	err := one.Read(t.Context(), func(tx *sqlx.Tx) error {
		return tx.GetContext(t.Context(), &count, `SELECT count(*) FROM joint WHERE site = $1`, "writers")
	})
	if err != nil || count != 2*each {
		t.Errorf("%d versions, %v; want %d", count, err, 2*each)
	}
}

func failureLeavesNothing(t *testing.T, d *db.DB) {
	kept := fact{1, 1, &inventory.JointSet{Joint: "J-1", Procedure: "P-1"}}
	do(t, d, "failed", kept)
	before := joints(t, d, "failed", hours(9))
	for name, bad := range map[string]fact{
		"a number that is taken":   kept,
		"a joint without a name":   {3, 3, &inventory.JointSet{}},
		"a job without a name":     {3, 3, &inventory.JobSet{}},
		"a paper without a lot":    {3, 3, &inventory.CertificateSet{Number: "C-1"}},
		"a paper without a number": {3, 3, &inventory.CertificateSet{Lot: "7B21"}},
	} {
		if err := apply(t, d, "failed", fact{2, 2, &inventory.JointSet{Joint: "J-2"}}, bad); err == nil {
			t.Errorf("%s: taken", name)
		}
	}
	if diff := cmp.Diff(before, joints(t, d, "failed", hours(9))); diff != "" {
		t.Errorf("the joints changed (-before +after):\n%s", diff)
	}
}
