package main

import (
	"context"
	"fmt"
	"os"
	"time"

	"ovenward/migrations/db"
)

// What a script sets for the program that it runs, in the environment of its
// process. Without a clock the program is as it is built.
const (
	clockVariable  = "SCRIPT_CLOCK"  // the instant, RFC 3339
	userVariable   = "SCRIPT_NOBODY" // set: run without the rights of root
	hurryVariable  = "SCRIPT_HURRY"  // set: wait for others' locks no longer than a moment
	aMoment        = 200 * time.Millisecond
	scriptZone     = "America/Halifax"
	scriptDay      = "2026-03-02" // a Monday; no change of the clocks is near
	clockForm      = "2006-01-02 15:04"
	clockFormShort = "15:04"
)

// scripted is main for a script: on the script's clock, so that what it prints
// never depends on the day of the test.
func scripted() {
	if os.Getenv(userVariable) != "" {
		becomeNobody()
	}
	text := os.Getenv(clockVariable)
	if text == "" {
		main()
		return
	}
	now, err := time.Parse(time.RFC3339, text)
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(exitFailed)
	}
	e := &env{in: os.Stdin, out: os.Stdout, errs: os.Stderr, getenv: os.Getenv, now: func() time.Time { return now }}
	if os.Getenv(hurryVariable) != "" {
		e.options = append(e.options, db.WithPatience(aMoment))
	}
	os.Exit(e.run(context.Background(), os.Args))
}
