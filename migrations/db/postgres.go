package db

import (
	"database/sql"
	"errors"
	"net/url"
	"strconv"
	"strings"

	"github.com/jmoiron/sqlx"
	"github.com/lib/pq"
)

// connections is the size of the pool. As many stay open when idle, since the
// default of two makes six workers connect anew all the time.
const connections = 8

func openPostgres(dsn string, o options) (*DB, error) {
	u, err := url.Parse(dsn)
	if err != nil {
		return nil, badURL("postgres:", err)
	}
	d := &DB{engine: Postgres, name: shown(u), patience: o.patience}
	u.RawQuery = withDefaults(u, o).Encode()
	connector, err := pq.NewConnector(u.String())
	if err != nil {
		return nil, badURL(d.name, err)
	}
	std := sql.OpenDB(connector)
	std.SetMaxOpenConns(connections)
	std.SetMaxIdleConns(connections)
	p := sqlx.NewDb(std, string(Postgres))
	d.write = pool{db: p, tx: sql.TxOptions{Isolation: sql.LevelReadCommitted}}
	d.read = pool{db: p, tx: sql.TxOptions{Isolation: sql.LevelRepeatableRead, ReadOnly: true}}
	return d, nil
}

// shown returns the URL without a password, wherever it stands.
func shown(u *url.URL) string {
	hidden := *u
	q := u.Query()
	if q.Has("password") {
		q.Set("password", "xxxxx")
		hidden.RawQuery = q.Encode()
	}
	return hidden.Redacted()
}

// badURL leaves the parser's own text out when it could hold the password.
func badURL(name string, err error) error {
	if e, ok := errors.AsType[*url.Error](err); ok {
		err = e.Err
	}
	return &Error{
		Kind: ErrDSN, Database: name, Err: err,
		Next: "write postgres://USER@HOST:PORT/NAME?sslmode=require",
	}
}

// withDefaults returns the URL's parameters with those added that must never
// be left to the driver or the server.
func withDefaults(u *url.URL, o options) url.Values {
	q := u.Query()
	set := func(key, value string) {
		if !q.Has(key) {
			q.Set(key, value)
		}
	}
	set("sslmode", sslMode(u.Hostname(), q.Get("host")))
	set("connect_timeout", "5")
	set("lock_timeout", strconv.FormatInt(o.patience.Milliseconds(), 10))
	if o.idle != 0 {
		set("idle_in_transaction_session_timeout", strconv.FormatInt(o.idle.Milliseconds(), 10))
	}
	set("application_name", "ovenward")
	return q
}

// sslMode is written out because the driver's default may change from require
// to prefer. A server on this machine, where the line cannot be tapped, usually
// has no certificate.
func sslMode(hosts ...string) string {
	for _, h := range hosts {
		switch {
		case h == "":
		case strings.HasPrefix(h, "/"), strings.HasPrefix(h, "@"), h == "localhost", h == "127.0.0.1", h == "::1":
			return "prefer"
		default:
			return "require"
		}
	}
	return "prefer" // no host: lib/pq takes PGHOST or localhost
}
