package main

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"io"
	"os"
	"path/filepath"

	"github.com/urfave/cli/v2"

	"ovenward/inventory"
)

func newProposeCommand(e *env) *cli.Command {
	var w writeOptions
	var p inventory.Proposed
	var reference, attach string
	return &cli.Command{
		Name: "propose", Category: forQA, Usage: "propose what is to become of stock; QA decides", ArgsUsage: "[BUNDLE]",
		Description: `Anybody may propose; another person with QA's authority approves or rejects it.
The file of a paper stays with you: its SHA-256 is kept, so that it can be shown
later that it is the same.

   ovenward propose B0001-G --disposition release --why 'logger 3 shows 124 C' --attach logger3.pdf
   ovenward propose --lot 7B21 --disposition extend --until 2027-01-31 --why 'tested again' --reference 'report 41'`,
		Flags: append(w.flags(),
			&cli.StringFlag{Name: "lot", Usage: "about this `LOT` as a whole", Destination: &p.Lot},
			&cli.StringFlag{Name: "slip", Usage: "about the rods that are out on this `SLIP`", Destination: &p.Slip},
			&cli.StringFlag{Name: "disposition", Usage: "`WHAT`: release, bake or discard; of a lot also extend", Destination: &p.Disposition},
			&cli.StringFlag{Name: "until", Usage: "last `DAY` of an extension", Destination: &p.Until},
			&cli.StringFlag{Name: "why", Usage: "`REASON`", Destination: &p.Why},
			&cli.StringFlag{Name: "reference", Usage: "`PAPER` that it rests on", Destination: &reference},
			&cli.StringFlag{Name: "attach", Usage: "`FILE` that it rests on; its digest is kept", Destination: &attach}),
		Action: func(c *cli.Context) error {
			if c.NArg() > 1 || (c.NArg() == 1) == (p.Lot != "" || p.Slip != "") {
				return usagef("propose takes one bundle, or --lot, or --slip")
			}
			p.Bundle = c.Args().First()
			var err error
			if p.Evidence, err = evidenceOf(reference, attach); err != nil {
				return err
			}
			done, err := e.record(c.Context, w, &p)
			if err != nil {
				return err
			}
			made := done.Entry.(*inventory.Proposed)
			of := made.Lot + made.Bundle // one of them
			return e.tell(e.acted(done, "proposed", made.Proposal), "PROPOSED %s: %s %s (%s)\nnext: QA decides: ovenward decide %s --approve",
				made.Proposal, made.Disposition, of, made.Why, made.Proposal)
		},
	}
}

// evidenceOf is what a proposal rests on; nil for nothing.
func evidenceOf(reference, file string) (*inventory.Reference, error) {
	if file == "" {
		if reference == "" {
			return nil, nil
		}
		return &inventory.Reference{Reference: reference}, nil
	}
	sum, err := digestOf(file)
	if err != nil {
		return nil, err
	}
	if reference == "" {
		reference = filepath.Base(file)
	}
	return &inventory.Reference{Reference: reference, Digest: sum}, nil
}

// digestOf is the SHA-256 of a file.
func digestOf(name string) (sum string, err error) {
	f, err := os.Open(name)
	if err != nil {
		return "", err
	}
	defer func() { err = errors.Join(err, f.Close()) }()
	h := sha256.New()
	if _, err := io.Copy(h, f); err != nil {
		return "", err
	}
	return hex.EncodeToString(h.Sum(nil)), nil
}
