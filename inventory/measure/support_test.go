package measure_test

import (
	"errors"
	"strings"
	"testing"
	"time"
	_ "time/tzdata" // the zones of the tests, on machines without zone data

	"ovenward/inventory/measure"
)

func zone(t testing.TB, name string) *time.Location {
	t.Helper()
	z, err := time.LoadLocation(name)
	if err != nil {
		t.Fatal(err)
	}
	return z
}

// utc returns the instant of an RFC 3339 text.
func utc(t testing.TB, s string) measure.Instant {
	t.Helper()
	at, err := time.Parse(time.RFC3339, s)
	if err != nil {
		t.Fatal(err)
	}
	return measure.At(at)
}

// refused fails unless err is a *UnitError of the kind that names the value, the
// fault and how to write it.
func refused(t testing.TB, err error, kind, value, why string) {
	t.Helper()
	e, ok := errors.AsType[*measure.UnitError](err)
	if !ok {
		t.Errorf("%q: error %v, want a *UnitError", value, err)
		return
	}
	if e.Kind != kind || e.Value != value || !strings.Contains(e.Why, why) || e.Write == "" {
		t.Errorf("%q: %v, want it refused as a %s: %s", value, err, kind, why)
	}
}

// reading is a text and the exact number that it must be read as.
type reading[T ~int64] struct {
	text string
	want T
}

func checkReadings[T ~int64](t *testing.T, parse func(string) (T, error), cases []reading[T]) {
	t.Helper()
	for _, c := range cases {
		if got, err := parse(c.text); err != nil || got != c.want {
			t.Errorf("%q is read as %d, %v, want %d", c.text, int64(got), err, int64(c.want))
		}
	}
}

// faults are texts with what must be said of them.
type faults map[string]string

func checkFaults[T any](t *testing.T, kind string, parse func(string) (T, error), cases faults) {
	t.Helper()
	for text, why := range cases {
		_, err := parse(text)
		refused(t, err, kind, text, why)
	}
}

// seed adds texts to a fuzz target.
func seed(f *testing.F, texts ...string) {
	for _, s := range texts {
		f.Add(s)
	}
}
