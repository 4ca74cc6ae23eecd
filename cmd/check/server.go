package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"time"
)

// server is a throw-away PostgreSQL server in a private temporary folder. Its
// settings are the defaults, with durable commits, since that is what the
// tests are about.
type server struct {
	folder string
	cmd    *exec.Cmd
	ended  chan struct{} // closed when it has ended, with err set before
	err    error
}

// serverPort is part of the socket's name only; the server has no network port.
const serverPort = "5432"

// longestSocket is what the operating systems allow for the path of a socket,
// less the socket's own name.
const longestSocket = 103 - len("/.s.PGSQL.5432")

func (c *check) newServer(ctx context.Context, bin string) (*server, error) {
	who, err := unprivileged()
	if err != nil {
		return nil, err
	}
	folder, err := privateFolder(who)
	if err != nil {
		return nil, err
	}
	s := &server{folder: folder, ended: make(chan struct{})}
	if err := c.startServer(ctx, s, bin, who); err != nil {
		s.stop()
		return nil, err
	}
	return s, nil
}

func (c *check) startServer(ctx context.Context, s *server, bin string, who account) error {
	data := filepath.Join(s.folder, "data")
	initdb := c.command(ctx, filepath.Join(bin, "initdb"), "--pgdata="+data, "--username="+superuser,
		"--auth=trust", "--encoding=UTF8", "--locale=C", "--no-instructions")
	who.runs(initdb, s.folder)
	if _, err := output(initdb); err != nil {
		return err
	}
	log, err := os.Create(filepath.Join(s.folder, "log"))
	if err != nil {
		return err
	}
	defer log.Close()
	// Its end is ours to decide, after the tests', hence no context.
	s.cmd = exec.Command(filepath.Join(bin, "postgres"), "-D", data, "-p", serverPort, //nolint:noctx // see above
		"-c", "listen_addresses=", "-c", "unix_socket_directories="+s.folder, "-c", "max_connections=300")
	s.cmd.Env = c.env
	s.cmd.Stdout, s.cmd.Stderr = log, log
	who.runs(s.cmd, s.folder)
	ownGroup(s.cmd)
	if err := s.cmd.Start(); err != nil {
		s.cmd = nil
		return err
	}
	go func() {
		s.err = s.cmd.Wait()
		close(s.ended)
	}()
	return s.await(ctx)
}

// await returns when the server answers.
func (s *server) await(ctx context.Context) error {
	ctx, cancel := context.WithTimeoutCause(ctx, serverStart, fmt.Errorf("no answer after %v", serverStart))
	defer cancel()
	for answers(ctx, s.dsn()) != nil {
		select {
		case <-s.ended:
			return fmt.Errorf("PostgreSQL did not start: %w\n%s", s.err, s.complaints())
		case <-ctx.Done():
			return fmt.Errorf("PostgreSQL did not start: %w\n%s", context.Cause(ctx), s.complaints())
		case <-time.After(50 * time.Millisecond):
		}
	}
	return nil
}

// stop ends the server at once but in order, and removes its folder.
func (s *server) stop() {
	if s.cmd != nil {
		_ = s.cmd.Process.Signal(syscall.SIGINT) // "fast shutdown": clients are cut off, files are closed
		select {
		case <-s.ended:
		case <-time.After(grace):
			_ = s.cmd.Process.Kill()
			<-s.ended
		}
	}
	_ = os.RemoveAll(s.folder)
}

// complaints returns the end of the server's log.
func (s *server) complaints() string {
	text, err := os.ReadFile(filepath.Join(s.folder, "log"))
	if err != nil {
		return ""
	}
	return tail(string(text))
}

// privateFolder makes a folder that only its owner, and root, can enter.
func privateFolder(who account) (string, error) {
	folder, err := os.MkdirTemp("", "ovenward-check-")
	if err == nil && len(folder) > longestSocket {
		err = errors.Join(os.Remove(folder), fmt.Errorf(
			"temporary folder %s: %d characters, want at most %d for a socket: set TMPDIR=/tmp",
			folder, len(folder), longestSocket))
	}
	if err != nil {
		return "", err
	}
	return folder, who.owns(folder)
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
