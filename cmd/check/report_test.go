package main

import (
	"strings"
	"testing"
)

// The events are as test2json documents them ("go doc test2json").
func TestReportCountsTestsAndBrokenPackages(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		name           string
		events         string
		passed, failed int
		shows          string
		hides          string
	}{
		{
			name: "passed tests are quiet",
			events: `{"Action":"output","Package":"p","Test":"TestA","Output":"chatter\n"}
				{"Action":"pass","Package":"p","Test":"TestA"}
				{"Action":"pass","Package":"p","Elapsed":1.5}`,
			passed: 1, shows: "ok   p, 1 tests, 1.5 s", hides: "chatter",
		},
		{
			name: "a failed test shows its text and breaks its package once",
			events: `{"Action":"output","Package":"p","Test":"TestA","Output":"got 3, want 4\n"}
				{"Action":"fail","Package":"p","Test":"TestA"}
				{"Action":"pass","Package":"p","Test":"TestB"}
				{"Action":"fail","Package":"p"}`,
			passed: 1, failed: 1, shows: "got 3, want 4",
		},
		{
			name: "a skipped test fails",
			events: `{"Action":"skip","Package":"p","Test":"TestA"}
				{"Action":"pass","Package":"p"}`,
			failed: 1, shows: "TestA: skipped",
		},
		{
			name:   "a package without tests is nothing",
			events: `{"Action":"skip","Package":"p"}`,
		},
		{
			name: "a package that does not build fails",
			events: `{"Action":"build-output","ImportPath":"p","Output":"undefined: x\n"}
				{"Action":"build-fail","ImportPath":"p"}
				{"Action":"output","Package":"p","Output":"FAIL\tp [build failed]\n"}
				{"Action":"fail","Package":"p","FailedBuild":"p"}`,
			failed: 1, shows: "undefined: x",
		},
		{
			name: "a package that dies in the middle fails",
			events: `{"Action":"output","Package":"p","Output":"panic: no\n"}
				{"Action":"fail","Package":"p"}`,
			failed: 1, shows: "panic: no",
		},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			var out strings.Builder
			k := &check{out: &out}
			if err := newReport(k).read(strings.NewReader(c.events)); err != nil {
				t.Fatal(err)
			}
			if k.passed != c.passed || k.failed != c.failed {
				t.Errorf("%d passed, %d failed, want %d and %d", k.passed, k.failed, c.passed, c.failed)
			}
			if !strings.Contains(out.String(), c.shows) || c.hides != "" && strings.Contains(out.String(), c.hides) {
				t.Errorf("printed %q, want %q and not %q", out.String(), c.shows, c.hides)
			}
		})
	}
}

func TestCutOffEventsAreAnError(t *testing.T) {
	t.Parallel()
	k := &check{out: new(strings.Builder)}
	if err := newReport(k).read(strings.NewReader(`{"Action":"pass","Pack`)); err == nil {
		t.Error("half an event was taken for the end")
	}
}
