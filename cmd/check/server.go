package main

import (
	"context"
	"path/filepath"
	"strings"
)

// server is a throw-away PostgreSQL server. Its settings are the defaults, with
// durable commits, since that is what the tests are about.
type server struct{ *daemon }

// serverPort is part of the socket's name only; the server has no network port.
const serverPort = "5432"

func (c *check) newServer(ctx context.Context, bin string) (*server, error) {
	d, err := newDaemon("PostgreSQL")
	if err != nil {
		return nil, err
	}
	s := &server{d}
	if err := c.startServer(ctx, s, bin); err != nil {
		s.stop()
		return nil, err
	}
	return s, nil
}

func (c *check) startServer(ctx context.Context, s *server, bin string) error {
	data := s.file("data")
	initdb := c.command(ctx, filepath.Join(bin, "initdb"), "--pgdata="+data, "--username="+superuser,
		"--auth=trust", "--encoding=UTF8", "--locale=C", "--no-instructions")
	s.who.runs(initdb, s.folder)
	if _, err := output(initdb); err != nil {
		return err
	}
	return s.start(ctx, c.env, func(ctx context.Context) error { return answers(ctx, s.dsn()) },
		filepath.Join(bin, "postgres"), "-D", data, "-p", serverPort,
		"-c", "listen_addresses=", "-c", "unix_socket_directories="+s.folder, "-c", "max_connections=300")
}

// withoutPostgresSettings drops variables that would change what initdb and the
// server do.
func withoutPostgresSettings(env []string) []string {
	kept := make([]string, 0, len(env))
	for _, e := range env {
		if !strings.HasPrefix(e, "PG") {
			kept = append(kept, e)
		}
	}
	return kept
}
