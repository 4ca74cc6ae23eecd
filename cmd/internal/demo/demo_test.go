package demo_test

import (
	"testing"
	"time"

	"ovenward/cmd/internal/app"
	"ovenward/cmd/internal/demo"
	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/migrations/db"
	"ovenward/migrations/db/dbtest"
)

func TestTheDemoShopHoldsWhatItPromises(t *testing.T) {
	t.Parallel()
	dbtest.Whole(t, func(t *testing.T, open func() *db.DB) {
		d := open()
		now := measure.At(time.Date(2026, 3, 20, 17, 40, 0, 0, time.UTC))
		built, err := demo.Build(t.Context(), d, "demo", now)
		if err != nil {
			t.Fatal(err)
		}
		for _, code := range []inventory.Code{inventory.FirstBake, inventory.CoStorage, inventory.NotEnough,
			inventory.WrongClass, inventory.OnHold, inventory.SamePerson,
			inventory.QAOnly, inventory.NotReleased} {
			if built.Refused[code] == 0 {
				t.Errorf("nothing was refused with %s; refused: %v", code, built.Refused)
			}
		}
		a := &app.App{DB: d, Site: "demo", Via: "test", Now: now.Time}
		v, err := a.Verify(t.Context())
		if err != nil || len(v.Differences) > 0 {
			t.Fatalf("Verify() = %v, %v; want no differences", v.Differences, err)
		}
		wantOutStates(t, a, now)
	})
}

// wantOutStates asks for one slip of each urgency at the end.
func wantOutStates(t *testing.T, a *app.App, now measure.Instant) {
	t.Helper()
	list, err := a.Out(t.Context(), now)
	if err != nil {
		t.Fatal(err)
	}
	var overdue, soon, fine int
	for _, s := range list {
		switch j := s.Judgement; {
		case s.Overdue != 0:
			overdue++
		case j.Warn != 0 && now >= j.Warn:
			soon++
		default:
			fine++
		}
	}
	if overdue == 0 || soon == 0 || fine == 0 {
		t.Errorf("out: %d overdue, %d nearly, %d in time; want some of each", overdue, soon, fine)
	}
}
