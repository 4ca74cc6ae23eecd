package main

import (
	"context"
	"errors"
	"slices"
	"strings"
	"testing"
)

func TestStepsAreChosenInTheirOwnOrder(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		args []string
		want []string
	}{
		{nil, []string{"format", "vet", "lint", "croston", "test", "race"}},
		{[]string{"quick"}, []string{"format", "vet", "test"}},
		{[]string{"race", "format"}, []string{"format", "race"}},
	} {
		got, err := choose(c.args)
		if err != nil || !slices.Equal(stepNames(got), c.want) {
			t.Errorf("choose(%q) = %q, %v, want %q", c.args, stepNames(got), err, c.want)
		}
	}
}

func TestUnknownStepIsWrongUse(t *testing.T) {
	t.Parallel()
	var out, complaints strings.Builder
	if got := run(t.Context(), []string{"vett"}, &out, &complaints); got != 2 {
		t.Errorf("exit status %d, want 2", got)
	}
	if !strings.Contains(complaints.String(), `"vett"`) || !strings.Contains(complaints.String(), "vet,") {
		t.Errorf("complaint %q, want the wrong word and the right ones", complaints.String())
	}
}

func TestFailedStepDoesNotStopTheNextAndFailsTheRun(t *testing.T) {
	t.Parallel()
	var out strings.Builder
	c := &check{out: &out}
	var ran []string
	status := c.all(t.Context(), []step{
		{name: "first", run: func(*check, context.Context) error { ran = append(ran, "first"); return errors.New("broken") }},
		{name: "second", run: func(*check, context.Context) error { ran = append(ran, "second"); return nil }},
	})
	if status != 1 || !slices.Equal(ran, []string{"first", "second"}) {
		t.Errorf("status %d after %q, want 1 after both", status, ran)
	}
	if !strings.HasSuffix(out.String(), "\n1 passed, 1 failed\n") || !strings.Contains(out.String(), "broken") {
		t.Errorf("printed %q, want the fault and a last line of totals", out.String())
	}
}

func TestInterruptedRunFails(t *testing.T) {
	t.Parallel()
	ctx, cancel := context.WithCancel(t.Context())
	c := &check{out: new(strings.Builder)}
	status := c.all(ctx, []step{
		{name: "first", run: func(*check, context.Context) error { cancel(); return nil }},
		{name: "second", run: func(*check, context.Context) error { t.Error("ran after the interrupt"); return nil }},
	})
	if status != 1 {
		t.Errorf("status %d, want 1: the second step has shown nothing", status)
	}
}
