// Package listen serves what others ask the watch over HTTP: how it is, what it
// counts, and whatever its parts mount.
package listen

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"log/slog"
	"net"
	"net/http"
	"os"
	"strings"
	"time"
)

// Bounds on one request, so that a peer that sends slowly or nothing holds no
// connection for ever.
const (
	headerWithin = 5 * time.Second
	readWithin   = 30 * time.Second
	writeWithin  = 30 * time.Second
	idleFor      = 2 * time.Minute
	mostHeader   = 16 << 10 // bytes
)

// Listener is an address with what is served there. Parts mount their handlers
// on the mux before Serve is called.
type Listener struct {
	Mux *http.ServeMux

	listener net.Listener
	log      *slog.Logger
}

// Open begins to listen at an address: host:port, or unix: and the path of a
// socket, which the user and the group of the program may reach. Nothing is
// answered before Serve. The error says what is in the way.
func Open(ctx context.Context, address string, log *slog.Logger) (*Listener, error) {
	network, where := "tcp", address
	if path, ok := strings.CutPrefix(address, "unix:"); ok {
		network, where = "unix", path
		if err := removeLeft(ctx, path); err != nil {
			return nil, err
		}
	}
	var c net.ListenConfig
	l, err := c.Listen(ctx, network, where)
	if err != nil {
		return nil, fmt.Errorf("listen at %s: %w", address, err)
	}
	if network == "unix" {
		if err := os.Chmod(where, 0o660); err != nil {
			return nil, errors.Join(fmt.Errorf("listen at %s: %w", address, err), l.Close())
		}
	}
	return &Listener{Mux: http.NewServeMux(), listener: l, log: log}, nil
}

// removeLeft removes a socket that a program left behind when it was killed. One
// at which somebody answers, and a file that is no socket, stay.
func removeLeft(ctx context.Context, path string) error {
	info, err := os.Lstat(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil
	case err != nil:
		return err
	case info.Mode()&fs.ModeSocket == 0:
		return fmt.Errorf("listen at unix:%s: there is a file of this name that is no socket", path)
	}
	var d net.Dialer
	if c, err := d.DialContext(ctx, "unix", path); err == nil {
		return errors.Join(fmt.Errorf("listen at unix:%s: another program answers there", path), c.Close())
	}
	return os.Remove(path)
}

// Address returns where it listens, with the port that was chosen for port 0.
func (l *Listener) Address() string { return l.listener.Addr().String() }

// Serve answers until the context ends and then lets the requests that are under
// way end, for so long at most. A stop is no error.
func (l *Listener) Serve(ctx context.Context, patience time.Duration) error {
	s := &http.Server{
		Handler:           hardened(l.Mux),
		ReadHeaderTimeout: headerWithin, ReadTimeout: readWithin, WriteTimeout: writeWithin, IdleTimeout: idleFor,
		MaxHeaderBytes: mostHeader,
		ErrorLog:       slog.NewLogLogger(l.log.Handler(), slog.LevelWarn),
	}
	ended := make(chan error, 1)
	go func() { ended <- s.Serve(l.listener) }()
	select {
	case err := <-ended:
		return fmt.Errorf("listen at %s: %w", l.Address(), err)
	case <-ctx.Done():
	}
	bounded, cancel := context.WithTimeout(context.WithoutCancel(ctx), patience)
	defer cancel()
	err := s.Shutdown(bounded)
	if errors.Is(err, context.DeadlineExceeded) {
		err = s.Close() // who is still at it loses the connection
	}
	if closed := <-ended; !errors.Is(closed, http.ErrServerClosed) {
		err = errors.Join(err, closed)
	}
	return err
}

// hardened answers with headers that keep a browser from making more of an
// answer than it is. A page of another site cannot make a browser post here.
func hardened(h http.Handler) http.Handler {
	guarded := http.NewCrossOriginProtection().Handler(h)
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		w.Header().Set("X-Content-Type-Options", "nosniff")
		w.Header().Set("Cache-Control", "no-store")
		w.Header().Set("Content-Security-Policy", "default-src 'none'; frame-ancestors 'none'")
		guarded.ServeHTTP(w, r)
	})
}
