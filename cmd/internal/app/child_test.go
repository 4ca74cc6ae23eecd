package app_test

import (
	"context"
	"fmt"
	"io"
	"os"
	"os/exec"
	"testing"
	"time"

	"github.com/google/uuid"

	"ovenward/cmd/internal/app"
	"ovenward/inventory"
	"ovenward/migrations/db"
)

// Some rules are about a program that dies, so this test binary also plays that
// program: with childDSN set it works at the window until it is killed.
const (
	childDSN   = "OVENWARD_APP_TEST_DSN"
	childRound = "OVENWARD_APP_TEST_ROUND"
)

func TestMain(m *testing.M) {
	if dsn := os.Getenv(childDSN); dsn != "" {
		err := workForEver(context.Background(), dsn, os.Getenv(childRound), os.Stdout)
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
	os.Exit(m.Run())
}

// child returns a program that will work on a database until it is killed.
func child(t testing.TB, dsn, round string) *exec.Cmd {
	t.Helper()
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	c := exec.CommandContext(t.Context(), self)
	c.Env = append(os.Environ(), childDSN+"="+dsn, childRound+"="+round, "GORACE=atexit_sleep_ms=0")
	return c
}

// workForEver hands rods out of K1 and takes them back, and prints the id of
// each fact once it is recorded.
func workForEver(ctx context.Context, dsn, round string, out io.Writer) error {
	d, err := db.Open(ctx, dsn)
	if err != nil {
		return err
	}
	a := &app.App{DB: d, Site: "yard", Via: "window", Now: time.Now}
	for n := 0; ; n++ {
		slip := fmt.Sprintf("R%s-%d", round, n)
		for _, e := range []inventory.Entry{
			issue(slip, "K1", 2),
			&inventory.Returned{Slip: slip, Unused: 1, Stubs: 1, Into: "H1", As: slip + "-back"},
		} {
			id, err := uuid.NewV7()
			if err != nil {
				return err
			}
			if _, err := a.Record(ctx, app.Request{ID: id.String(), By: attendant, Entry: e}); err != nil {
				return err
			}
			fmt.Fprintln(out, id)
		}
	}
}
