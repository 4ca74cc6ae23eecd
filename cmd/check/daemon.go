package main

import (
	"context"
	"errors"
	"fmt"
	"net"
	"os"
	"os/exec"
	"path/filepath"
	"syscall"
	"time"
)

// daemon is a throw-away server in a private temporary folder.
type daemon struct {
	what   string // for messages
	folder string
	who    account
	cmd    *exec.Cmd
	ended  chan struct{} // closed when it has ended, with err set before
	err    error
}

// daemonStart is how long a new server may take to answer.
const daemonStart = 60 * time.Second

func newDaemon(what string) (*daemon, error) {
	who, err := unprivileged()
	if err != nil {
		return nil, err
	}
	folder, err := privateFolder(who)
	if err != nil {
		return nil, err
	}
	return &daemon{what: what, folder: folder, who: who, ended: make(chan struct{})}, nil
}

// start starts the server's program and returns when it answers.
func (d *daemon) start(ctx context.Context, env []string, answers func(context.Context) error, name string, args ...string) error {
	log, err := os.Create(d.file("log"))
	if err != nil {
		return err
	}
	defer log.Close()
	// Its end is ours to decide, after the tests', hence no context.
	d.cmd = exec.Command(name, args...) //nolint:noctx // see above
	d.cmd.Env = env
	d.cmd.Stdout, d.cmd.Stderr = log, log
	d.who.runs(d.cmd, d.folder)
	ownGroup(d.cmd)
	if err := d.cmd.Start(); err != nil {
		d.cmd = nil
		return err
	}
	go func() {
		d.err = d.cmd.Wait()
		close(d.ended)
	}()
	return d.await(ctx, answers)
}

// await returns when the server answers.
func (d *daemon) await(ctx context.Context, answers func(context.Context) error) error {
	ctx, cancel := context.WithTimeoutCause(ctx, daemonStart, fmt.Errorf("no answer after %v", daemonStart))
	defer cancel()
	for answers(ctx) != nil {
		select {
		case <-d.ended:
			return fmt.Errorf("%s did not start: %w\n%s", d.what, d.err, d.complaints())
		case <-ctx.Done():
			return fmt.Errorf("%s did not start: %w\n%s", d.what, context.Cause(ctx), d.complaints())
		case <-time.After(20 * time.Millisecond):
		}
	}
	return nil
}

// stop ends the server at once but in order, and removes its folder.
func (d *daemon) stop() {
	if d.cmd != nil {
		_ = d.cmd.Process.Signal(syscall.SIGINT) // of PostgreSQL "fast shutdown": clients are cut off, files are closed
		select {
		case <-d.ended:
		case <-time.After(grace):
			_ = d.cmd.Process.Kill()
			<-d.ended
		}
	}
	_ = os.RemoveAll(d.folder)
}

// complaints returns the end of the server's log.
func (d *daemon) complaints() string {
	text, err := os.ReadFile(d.file("log"))
	if err != nil {
		return ""
	}
	return tail(string(text))
}

// file returns the path of a file in the server's folder.
func (d *daemon) file(name string) string { return filepath.Join(d.folder, name) }

// write writes a file that the server may read.
func (d *daemon) write(name, text string) error {
	if err := os.WriteFile(d.file(name), []byte(text), 0o600); err != nil {
		return err
	}
	return d.who.owns(d.file(name))
}

// longestSocket is what the operating systems allow for the path of a socket,
// less the socket's own name.
const longestSocket = 103 - len("/.s.PGSQL.5432")

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

// freePorts returns ports of the loopback interface that nobody listens on now.
func freePorts(n int) (ports []int, err error) {
	for range n {
		l, err := net.Listen("tcp", "127.0.0.1:0")
		if err != nil {
			return nil, err
		}
		defer l.Close() // all at the end, so that they differ
		ports = append(ports, l.Addr().(*net.TCPAddr).Port)
	}
	return ports, nil
}

// listens returns a function that reports whether somebody answers at a port.
func listens(port int) func(context.Context) error {
	return func(ctx context.Context) error {
		var d net.Dialer
		c, err := d.DialContext(ctx, "tcp", fmt.Sprintf("127.0.0.1:%d", port))
		if err != nil {
			return err
		}
		return c.Close()
	}
}
