package main

import (
	"context"
	"fmt"
	"net/url"
	"os"

	"ovenward/alerts/channel/channeltest"
	"ovenward/cmd/internal/broker/brokertest"
)

// peer is a server that the program speaks to, started for the tests and named to
// them by a variable.
type peer struct {
	name     string
	variable string
	program  string
	packages string
	start    func(c *check, ctx context.Context, d *daemon, program string) (*url.URL, error)
}

func peers() []peer {
	return []peer{
		{"mosquitto", brokertest.ServerVariable, "mosquitto", "mosquitto", (*check).startMosquitto},
		{"exim", channeltest.MailVariable, "exim4", "exim4-daemon-light", (*check).startExim},
	}
}

// startPeers starts each of them where the environment names none.
func (c *check) startPeers(ctx context.Context) (stop func(), err error) {
	var started []*daemon
	stop = func() {
		for _, d := range started {
			d.stop()
		}
	}
	for _, p := range peers() {
		if os.Getenv(p.variable) != "" {
			fmt.Fprintf(c.out, "using the server of %s\n", p.variable)
			continue
		}
		d, address, err := c.startPeer(ctx, p)
		if err != nil {
			return stop, fmt.Errorf("%s: %w", p.name, err)
		}
		started = append(started, d)
		c.set(p.variable, address)
	}
	return stop, nil
}

func (c *check) startPeer(ctx context.Context, p peer) (*daemon, string, error) {
	program, err := c.needProgram(ctx, p.program, p.packages)
	if err != nil {
		return nil, "", err
	}
	d, err := newDaemon(p.name)
	if err != nil {
		return nil, "", err
	}
	err = d.certify()
	var address *url.URL
	if err == nil {
		address, err = p.start(c, ctx, d, program)
	}
	if err != nil {
		d.stop()
		return nil, "", err
	}
	return d, address.String(), nil
}

// servePeers starts every server for tests that are run by hand, until
// interrupted.
func (c *check) servePeers(ctx context.Context) error {
	have := len(c.env)
	stop, err := c.startServers(ctx)
	defer stop()
	if err != nil {
		return err
	}
	for _, e := range c.env[have:] {
		fmt.Fprintf(c.out, "export '%s'\n", e)
	}
	<-ctx.Done()
	return nil
}

// startServers starts everything that tests need.
func (c *check) startServers(ctx context.Context) (stop func(), err error) {
	stopPostgres, err := c.startPostgres(ctx)
	if err != nil {
		return stopPostgres, err
	}
	stopPeers, err := c.startPeers(ctx)
	return func() {
		stopPeers()
		stopPostgres()
	}, err
}
