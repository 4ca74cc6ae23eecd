package main

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io"
	"strings"

	"github.com/urfave/cli/v2"

	"ovenward/cmd/internal/app"
	"ovenward/cmd/internal/show"
	"ovenward/inventory"
	"ovenward/inventory/measure"
)

func newCertificateCommand(e *env) *cli.Command {
	return group("certificate", "the papers of lots: enter, list, check a file against what was entered", "",
		newCertificateAddCommand(e), newCertificateListCommand(e), newCertificateCheckCommand(e))
}

func newCertificateAddCommand(e *env) *cli.Command {
	var w writeOptions
	var in inventory.CertificateSet
	var approvals cli.StringSlice
	var file string
	return &cli.Command{
		Name: "add", Usage: "enter a paper of a lot, or reject one", ArgsUsage: "LOT",
		Description: `   ovenward lot certificate add 7B21 --number Z-118 --kind 3.1 --actual \
      --tested 2025-04-02 --condition "as welded" --file z-118.pdf
   ovenward lot certificate add 7B21 --number Z-118 --rejected altered

A rule set that says [papers] wait_days = 14 raises an alarm, certificate-missing,
for a lot that is still here without one so many days after it came.`,
		Flags: append(w.flags(),
			&cli.StringFlag{Name: "number", Usage: "`NUMBER` of the paper", Destination: &in.Number},
			&cli.StringFlag{Name: "kind", Usage: "`KIND` of document: 2.1, 2.2, 3.1 or 3.2", Destination: &in.SortKind},
			&cli.BoolFlag{Name: "actual", Usage: "results of this lot; else they are typical", Destination: &in.Actual},
			&cli.StringFlag{Name: "tested", Usage: "`DATE` of the test", Destination: &in.Tested},
			&cli.StringFlag{Name: "condition", Usage: "`STATE` it was tested in: as welded, heat treated or both", Destination: &in.Condition},
			&cli.StringFlag{Name: "heat-time", Usage: "`TIME` at temperature of the heat-treated test, such as 8h", Destination: &in.HeatTime},
			&cli.StringSliceFlag{Name: "approval", Usage: "other `APPROVAL` that it shows; may be given again", Destination: &approvals},
			&cli.StringFlag{Name: "file", Usage: "the paper's `FILE`: its SHA-256 is kept, so that a later swap shows", Destination: &file},
			&cli.StringFlag{Name: "rejected", Usage: "it is not taken, for a `REASON`: " + strings.Join(inventory.Rejections(), ", "), Destination: &in.Rejected},
			&cli.StringFlag{Name: "note", Usage: "`WHAT` else is to be known", Destination: &in.Note},
		),
		Action: func(c *cli.Context) error {
			if c.NArg() != 1 || in.Number == "" {
				return usagef("lot certificate add takes one lot and the paper's number: ovenward lot certificate add LOT --number NUMBER")
			}
			in.Lot, in.Approvals = c.Args().First(), approvals.Value()
			var err error
			if file != "" {
				if in.Digest, err = e.digest(file); err != nil {
					return err
				}
			}
			done, err := e.record(c.Context, w, &in)
			if err != nil {
				return err
			}
			p, err := done.Entry.(*inventory.CertificateSet).Read()
			if err != nil {
				return err
			}
			return e.tell(e.acted(done, "added", p.Number), "PAPER    %s, lot %s", p.Words(), p.Lot)
		},
	}
}

// digest returns the SHA-256 of a file.
func (e *env) digest(name string) (string, error) {
	file, done, err := e.input(name)
	if err != nil {
		return "", err
	}
	defer done()
	sum := sha256.New()
	if _, err := io.Copy(sum, file); err != nil {
		return "", err
	}
	return hex.EncodeToString(sum.Sum(nil)), nil
}

func newCertificateListCommand(e *env) *cli.Command {
	return &cli.Command{
		Name: "list", Usage: "which lots have which papers, and which still wait for one", ArgsUsage: "[LOT]",
		Action: func(c *cli.Context) error {
			if c.NArg() > 1 {
				return usagef("lot certificate list takes one lot at most")
			}
			return runCertificateList(c.Context, e, c.Args().First())
		},
	}
}

// paperAnswer is a paper of a lot, or that it has none, for a program.
type paperAnswer struct {
	Lot      string          `json:"lot"`
	Class    string          `json:"class"`
	Status   string          `json:"status"`
	Owner    string          `json:"owner,omitempty"`
	LotClass string          `json:"lot_class,omitempty"`
	Schedule string          `json:"schedule,omitempty"`
	Awaiting bool            `json:"awaiting_certificate,omitempty"`
	Days     int64           `json:"days_since_receipt,omitempty"`
	Received measure.Instant `json:"received_us,omitempty"`

	Number    string `json:"number,omitempty"`
	Kind      string `json:"kind,omitempty"`
	Results   string `json:"results,omitempty"`
	Tested    string `json:"tested,omitempty"`
	Condition string `json:"condition,omitempty"`
	Digest    string `json:"digest,omitempty"`
	Rejected  string `json:"rejected,omitempty"`
}

func runCertificateList(ctx context.Context, e *env, lot string) error {
	p, err := e.screen(ctx, "")
	if err != nil {
		return err
	}
	lots, err := p.app.Papers(ctx, lot)
	if err != nil {
		return err
	}
	answers := []paperAnswer{}
	t := show.Table{Title: "PAPERS", Empty: "No lot is here.", Spare: []int{8, 3},
		Head: []string{"lot", "class", "status", "lot class", "paper", "kind", "results", "tested", "condition"}}
	for _, l := range lots {
		for _, a := range paperLines(l, p.at) {
			answers = append(answers, a)
			t.Add(a.Lot, a.Class, a.Status, strings.TrimSpace(a.LotClass+" "+a.Schedule), a.shown(), a.Kind, a.Results, a.Tested, a.Condition)
		}
	}
	return p.Answer(answers, t)
}

// shown is the paper's number with what is wrong with it.
func (a paperAnswer) shown() string {
	switch {
	case a.Awaiting && a.Number == "":
		return fmt.Sprintf("AWAITED for %s", counted(int(a.Days), "day", "days"))
	case a.Rejected != "":
		return a.Number + " REJECTED: " + a.Rejected
	}
	return a.Number
}

func paperLines(l app.LotPapers, now measure.Instant) []paperAnswer {
	line := paperAnswer{Lot: l.Lot.Code, Class: l.Lot.Mark.Canonical, Status: string(l.Lot.Status), Owner: l.Lot.Owner,
		LotClass: l.Lot.LotClass, Schedule: l.Lot.Schedule, Awaiting: l.Awaiting(), Received: l.Received}
	if line.Awaiting {
		line.Days = int64(now.Sub(l.Received) / measure.Day)
	}
	if len(l.Papers) == 0 {
		return []paperAnswer{line}
	}
	out := make([]paperAnswer, len(l.Papers))
	for i, p := range l.Papers {
		out[i] = line
		out[i].Number, out[i].Kind, out[i].Results, out[i].Tested = p.Number, string(p.Kind), p.Results(), string(p.Tested)
		out[i].Condition, out[i].Digest, out[i].Rejected = strings.TrimSpace(string(p.Tests)+" "+p.HeatTime), p.Digest, p.Rejected
	}
	return out
}

func newCertificateCheckCommand(e *env) *cli.Command {
	var number string
	return &cli.Command{
		Name: "check", Usage: "is this file the paper that was entered", ArgsUsage: "LOT FILE",
		Flags: []cli.Flag{&cli.StringFlag{Name: "number", Usage: "`NUMBER` of the paper, where the lot has several", Destination: &number}},
		Action: func(c *cli.Context) error {
			if c.NArg() != 2 {
				return usagef("lot certificate check takes a lot and a file")
			}
			return runCertificateCheck(c.Context, e, c.Args().Get(0), c.Args().Get(1), number)
		},
	}
}

func runCertificateCheck(ctx context.Context, e *env, lot, file, number string) error {
	p, err := e.screen(ctx, "")
	if err != nil {
		return err
	}
	lots, err := p.app.Papers(ctx, lot)
	if err != nil {
		return err
	}
	sum, err := e.digest(file)
	if err != nil {
		return err
	}
	var kept []string
	for _, paper := range lots[0].Papers {
		if paper.Digest == "" || (number != "" && paper.Number != number) {
			continue
		}
		if paper.Digest == sum {
			return e.tell(act{Done: "checked", What: paper.Number}, "SAME     %s is paper %s of lot %s as it was entered", file, paper.Number, lot)
		}
		kept = append(kept, paper.Number)
	}
	ref := &inventory.Refusal{Code: inventory.CertificateCode, Subject: lot, Value: sum,
		Why:  file + " is none of the papers that were entered: " + strings.Join(kept, ", "),
		Next: "compare it with the paper on file; an altered paper is rejected: ovenward lot certificate add " + lot + " --number NUMBER --rejected altered"}
	if len(kept) == 0 {
		ref.Why, ref.Next = "no paper of lot "+lot+" was entered with its file", "enter it with: ovenward lot certificate add "+lot+" --number NUMBER --file "+file
	}
	return ref
}
