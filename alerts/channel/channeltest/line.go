// Package channeltest gives tests of channels what goes wrong on the way to a
// receiver: a line that is cut and mended.
package channeltest

import (
	"io"
	"net"
	"sync"
	"testing"
)

// Line carries connections to a server, until it is cut.
type Line struct {
	Address string // to connect to instead of the server's
	server  string

	mu    sync.Mutex
	down  bool
	ends  map[net.Conn]bool
	calls int
}

// NewLine returns a line to a server, which ends with the test.
func NewLine(t testing.TB, server string) *Line {
	t.Helper()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	line := &Line{Address: l.Addr().String(), server: server, ends: map[net.Conn]bool{}}
	var all sync.WaitGroup
	all.Go(func() {
		for {
			c, err := l.Accept()
			if err != nil {
				return
			}
			all.Go(func() { line.carry(c) })
		}
	})
	t.Cleanup(func() {
		l.Close()
		line.Cut()
		all.Wait()
	})
	return line
}

// Cut breaks what is connected; whoever calls from now on is hung up on.
func (l *Line) Cut() {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.down = true
	for c := range l.ends {
		c.Close()
	}
	clear(l.ends)
}

// Mend lets calls through again.
func (l *Line) Mend() {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.down = false
}

// Calls returns how often somebody called, hung up on or not.
func (l *Line) Calls() int {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.calls
}

// carry passes on what both ends say until one of them hangs up.
func (l *Line) carry(from net.Conn) {
	defer from.Close()
	if !l.joined(from, true) {
		return
	}
	to, err := net.Dial("tcp", l.server)
	if err != nil {
		return
	}
	defer to.Close()
	if !l.joined(to, false) {
		return
	}
	var one sync.WaitGroup
	one.Go(func() {
		_, _ = io.Copy(to, from) // a line that is cut is an error, as meant
		to.Close()
	})
	_, _ = io.Copy(from, to)
	from.Close()
	one.Wait()
}

// joined notes an end of a connection; false where the line is cut.
func (l *Line) joined(c net.Conn, calls bool) bool {
	l.mu.Lock()
	defer l.mu.Unlock()
	if calls {
		l.calls++
	}
	if l.down {
		return false
	}
	l.ends[c] = true
	return true
}
