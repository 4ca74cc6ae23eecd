package main

import (
	"github.com/urfave/cli/v2"
)

const description = `Ovenward records what happens to welding consumables and says what a rule set
makes of it: which rods may go out, when they must be back, what is to be held,
baked or discarded, which joints a lot went into, and what to order.

It records and computes. The contract, the code in the edition that the contract
names, the maker's data and the responsible welding coordinator or inspector
decide. Shipped limits are defaults to confirm against your own copy.

` + exitHelp

// newProgram returns the command line.
func newProgram(e *env) *cli.App {
	return &cli.App{
		Name:                 "ovenward",
		Usage:                "every rod dry, identified and allowed",
		Description:          description,
		Flags:                e.flags(),
		Commands:             commands(e),
		Writer:               e.out,
		ErrWriter:            e.errs,
		EnableBashCompletion: true,
		HideVersion:          true,
		// A comma is part of a value, such as of --set joints=["J-1","J-2"].
		DisableSliceFlagSeparator: true,
		ExitErrHandler:            func(*cli.Context, error) {}, // the status is decided in one place
		OnUsageError:              onUsage,
		Action:                    noCommand,
	}
}

// noCommand answers a call without a command, or with one that there is not.
func noCommand(c *cli.Context) error {
	if c.NArg() > 0 {
		return usagef("there is no command %q", c.Args().First())
	}
	return cli.ShowAppHelp(c)
}

// group returns a command that only holds others.
func group(name, usage, category string, subs ...*cli.Command) *cli.Command {
	return &cli.Command{Name: name, Usage: usage, Category: category, Subcommands: subs, Action: func(c *cli.Context) error {
		if c.NArg() > 0 {
			return usagef("%s has no command %q", name, c.Args().First())
		}
		return cli.ShowSubcommandHelp(c)
	}}
}

// finish gives every command the same manners.
func finish(c *cli.Command) {
	c.OnUsageError = onUsage
	c.HideHelpCommand = true
	act := c.Action
	c.Action = func(ctx *cli.Context) error { return blame(ctx, act(ctx)) }
	for _, s := range c.Subcommands {
		finish(s)
	}
}

// The categories of the help.
const (
	atTheWindow = "at the window"
	forQA       = "for QA"
	forBuying   = "for purchasing"
	setUp       = "setting up and running"
)

// commands lists every command.
func commands(e *env) []*cli.Command {
	all := []*cli.Command{
		newIssueCommand(e), newReturnCommand(e), newOutCommand(e), newStockCommand(e),
		newReceiveCommand(e), newOvenCommand(e), newClimateCommand(e), newOpenCommand(e), newMoveCommand(e), newJoinCommand(e),
		newBlendCommand(e), newReclaimCommand(e), newCoverCommand(e),
		newBakeCommand(e), newWetCommand(e), newNoteCommand(e), newScrapCommand(e), newCountCommand(e), newHandoverCommand(e),
		newExposureCommand(e), newTraceCommand(e), newLotCommand(e), newJointCommand(e), newJobCommand(e),
		newProposeCommand(e), newDecideCommand(e), newRulesCommand(e),
		newReportCommand(e), newLedgerCommand(e), newReplayCommand(e),
		newPlanCommand(e), newForecastCommand(e), newBuyCommand(e),
		newSetupCommand(e), newPersonCommand(e), newImportCommand(e), newDemoCommand(e),
		newWatchCommand(e), newAlertCommand(e), newBackupCommand(e),
	}
	for _, c := range all {
		finish(c)
	}
	return all
}
