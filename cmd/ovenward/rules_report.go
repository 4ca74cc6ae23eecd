package main

import (
	"context"
	"time"

	"github.com/urfave/cli/v2"

	"ovenward/cmd/internal/app"
	"ovenward/cmd/internal/show"
	"ovenward/inventory"
	"ovenward/inventory/measure"
)

func newTestReportCommand(e *env) *cli.Command {
	return group("test-report", "reports of moisture tests, which allow a longer exposure (column B)", "",
		newTestReportAddCommand(e),
		&cli.Command{Name: "list", Usage: "every report, and which count now",
			Action: func(c *cli.Context) error { return runTestReportList(c.Context, e) }})
}

func newTestReportAddCommand(e *env) *cli.Command {
	var w writeOptions
	var r inventory.TestReported
	return &cli.Command{
		Name: "add", Usage: "record the report of a test",
		Description: `   ovenward rules test-report add --maker "Norden Rod Works" --class E7018 --hours 9h \
      --temperature 27C --humidity 80% --moisture 0.35% --reference TR-7

A report counts for the maker's rods of the class alone, where the rule set in
force has a column B row for them, and while the air that the rods are in is above
that of the test in neither humidity nor moisture. The newest of a maker and class
counts.`,
		Flags: append(w.flags(),
			&cli.StringFlag{Name: "maker", Usage: "`MAKER` as on the lots", Destination: &r.Maker},
			&cli.StringFlag{Name: "class", Usage: "`CLASS` tested, such as E7018", Destination: &r.Class},
			&cli.StringFlag{Name: "hours", Usage: "`TIME` the rods were exposed, such as 9h", Destination: &r.Hours},
			&cli.StringFlag{Name: "temperature", Usage: "`TEMPERATURE` of the test air, such as 27C", Destination: &r.Temperature},
			&cli.StringFlag{Name: "humidity", Usage: "relative `HUMIDITY` of the test air, such as 80%", Destination: &r.Humidity},
			&cli.StringFlag{Name: "moisture", Usage: "`SHARE` of water in the covering after the test, by weight, such as 0.35%", Destination: &r.Moisture},
			&cli.StringFlag{Name: "reference", Usage: "`NUMBER` of the report", Destination: &r.Reference},
			&cli.StringFlag{Name: "expires", Usage: "the last `DAY` on which it counts, such as 2026-06-30", Destination: &r.Expires},
		),
		Action: func(c *cli.Context) error {
			if c.NArg() != 0 {
				return usagef("test-report add takes no arguments: everything is given by its flag")
			}
			return runTestReportAdd(c.Context, e, w, r)
		},
	}
}

func runTestReportAdd(ctx context.Context, e *env, w writeOptions, r inventory.TestReported) error {
	done, err := e.record(ctx, w, &r)
	if err != nil {
		return err
	}
	kept := done.Entry.(*inventory.TestReported)
	return e.tell(e.acted(done, "reported", kept.Reference), "REPORT   %s: %s of %s, %s in air of %s and %s",
		kept.Reference, kept.Class, kept.Maker, kept.Hours, kept.Temperature, kept.Humidity)
}

// testReportAnswer is a test report for a program.
type testReportAnswer struct {
	State     string          `json:"state"`
	Reference string          `json:"reference"`
	Maker     string          `json:"maker"`
	Class     string          `json:"class"`
	Hours     string          `json:"hours"`
	Air       string          `json:"air"`
	Moisture  string          `json:"moisture,omitempty"`
	Expires   string          `json:"expires,omitempty"`
	At        measure.Instant `json:"at_us"`
	By        string          `json:"by"`
}

func runTestReportList(ctx context.Context, e *env) error {
	p, err := e.screen(ctx, "")
	if err != nil {
		return err
	}
	list, err := p.app.TestReports(ctx)
	if err != nil {
		return err
	}
	answers := []testReportAnswer{}
	for _, r := range list {
		answers = append(answers, newTestReportAnswer(r))
	}
	return p.Answer(answers, testReportTable(answers, p.zone))
}

func newTestReportAnswer(r app.ReportLook) testReportAnswer {
	a := testReportAnswer{State: r.State(), Reference: r.Reference, Maker: r.Maker, Class: r.Class, Hours: r.Exposed.String(),
		Air: r.Said, Expires: string(r.Expires), At: r.At, By: r.By}
	if r.Moisture >= 0 {
		a.Moisture = r.Moisture.String()
	}
	return a
}

func testReportTable(list []testReportAnswer, zone *time.Location) show.Table {
	t := show.Table{Head: []string{"state", "report", "maker", "class", "hours", "air of the test", "moisture", "last day", "recorded", "by"},
		Empty: "No test is reported: column A applies to everything."}
	for _, a := range list {
		t.Add(a.State, a.Reference, a.Maker, a.Class, a.Hours, a.Air, a.Moisture, a.Expires, when(a.At, zone), a.By)
	}
	return t
}
