package main

import (
	"context"
	"errors"
	"fmt"

	"github.com/urfave/cli/v2"

	"ovenward/alerts/alarm"
	"ovenward/alerts/channel"
	"ovenward/cmd/internal/config"
	"ovenward/inventory/measure"
)

// configFlag names the file of settings.
func configFlag(to *string) cli.Flag {
	return &cli.StringFlag{Name: "config", Usage: "`FILE` that says whom to tell, see ovenward watch --help", EnvVars: []string{"OVENWARD_CONFIG"}, Destination: to}
}

func newAlertTryCommand(e *env) *cli.Command {
	var file string
	return &cli.Command{Name: "test", Usage: "send every channel, or one, a test message", ArgsUsage: "[CHANNEL]",
		Flags: []cli.Flag{configFlag(&file)},
		Action: func(c *cli.Context) error {
			if c.NArg() > 1 || file == "" {
				return usagef("alert test takes --config FILE and one channel, or none for all")
			}
			return runAlertTry(c.Context, e, file, c.Args().First())
		}}
}

func runAlertTry(ctx context.Context, e *env, file, name string) error {
	settings, err := config.Read(file, e.getenv)
	if err != nil {
		return err
	}
	p, err := e.screen(ctx, "")
	if err != nil {
		return err
	}
	done := reach(&settings, e.out, nil, true)
	defer done()
	tried := 0
	var failed error
	for _, c := range settings.Channels {
		if name != "" && c.Name != name {
			continue
		}
		tried++
		if err := c.Send(ctx, tryMessage(p.app.Site, c.Name, p.at), p.at); err != nil {
			failed = errors.Join(failed, fmt.Errorf("channel %s: %w", c.Name, err))
			continue
		}
		if err := p.Line("SENT     a test message to %s", c.Name); err != nil {
			return err
		}
	}
	if tried == 0 {
		return usagef("%s has no channel %q", file, name)
	}
	return failed
}

func tryMessage(site, name string, at measure.Instant) channel.Message {
	i := channel.Item{Event: "test", Kind: "test", Subject: name, Priority: string(alarm.Low), Since: at, At: at,
		What: "this is a test of the channel " + name, Consequence: "none", Action: "nothing is to be done"}
	return channel.Message{Site: site, Key: fmt.Sprintf("%s-%s-test-%d", site, name, at), Text: channel.Headline(site, []channel.Item{i}), Items: []channel.Item{i}}
}
