package app_test

import (
	"bytes"
	"io"
	"net"
	"net/url"
	"path/filepath"
	"sync/atomic"
	"testing"

	"ovenward/inventory"
	"ovenward/migrations/db/dbtest"
)

// The server commits and the answer gets lost on the way: what was recorded is
// found by its id, and is recorded once.
func TestLostReplyOfACommitIsOneFact(t *testing.T) {
	t.Parallel()
	dsn := dbtest.Server(t)
	p := newProxy(t, dsn)
	s := newShop(t, dbtest.Open(t, dsn), "yard")
	s.can("K1", 150)
	behind := s.through("window", dbtest.Open(t, p.dsn))
	before := s.sound().Head.Seq
	p.armed.Store(true)
	done := behind.do(issue("", "K1", 40))
	if p.armed.Load() {
		t.Fatal("no answer was lost: the test shows nothing")
	}
	if n := s.sound().Head.Seq - before; n != 1 {
		t.Errorf("%d facts, want 1", n)
	}
	if got := s.slip(done.Entry.(*inventory.Issued).Slip).Pieces; got != 40 {
		t.Errorf("%d rods on the slip, want 40", got)
	}
	if left := s.bundle("K1").Pieces; left != 110 {
		t.Errorf("%d left in K1, want 110", left)
	}
}

// proxy stands between a client and the server. Once armed, it hangs up in place
// of the next answer to COMMIT.
type proxy struct {
	dsn    string
	server string // its socket
	armed  atomic.Bool
}

func newProxy(t *testing.T, dsn string) *proxy {
	t.Helper()
	u, err := url.Parse(dsn)
	if err != nil {
		t.Fatal(err)
	}
	const socket = ".s.PGSQL.5432"
	q := u.Query()
	p := &proxy{server: filepath.Join(q.Get("host"), socket)}
	folder := t.TempDir()
	l, err := net.Listen("unix", filepath.Join(folder, socket))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { l.Close() })
	q.Set("host", folder)
	u.RawQuery = q.Encode()
	p.dsn = u.String()
	go p.accept(l)
	return p
}

func (p *proxy) accept(l net.Listener) {
	for {
		client, err := l.Accept()
		if err != nil {
			return // the test is over
		}
		go p.serve(client)
	}
}

func (p *proxy) serve(client net.Conn) {
	server, err := net.Dial("unix", p.server)
	if err != nil {
		client.Close()
		return
	}
	go func() {
		_, _ = io.Copy(server, client)
		server.Close()
	}()
	defer client.Close()
	defer server.Close()
	answer := make([]byte, 64<<10)
	for {
		n, err := server.Read(answer)
		if err != nil {
			return
		}
		if bytes.Contains(answer[:n], []byte("COMMIT\x00")) && p.armed.CompareAndSwap(true, false) {
			return
		}
		if _, err := client.Write(answer[:n]); err != nil {
			return
		}
	}
}
