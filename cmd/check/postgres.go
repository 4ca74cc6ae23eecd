package main

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"time"

	"github.com/lib/pq"

	"ovenward/migrations/db/dbtest"
)

// superuser is the test server's only user.
const superuser = "ovenward"

// startPostgres gives the tests a PostgreSQL server: the one named by the
// environment, or a new one in a temporary folder, which stop ends and removes.
func (c *check) startPostgres(ctx context.Context) (stop func(), err error) {
	c.heading("postgres", "a server for the tests")
	begun := time.Now()
	if given := os.Getenv(dbtest.ServerVariable); given != "" {
		fmt.Fprintf(c.out, "using the server of %s\n", dbtest.ServerVariable)
		return func() {}, answers(ctx, given)
	}
	bin, err := c.needPostgres(ctx)
	if err != nil {
		return func() {}, err
	}
	s, err := c.newServer(ctx, bin)
	if err != nil {
		return func() {}, err
	}
	c.set(dbtest.ServerVariable, s.dsn())
	fmt.Fprintf(c.out, "postgres ok: %s in %s, %s\n", bin, s.folder, since(begun))
	return s.stop, nil
}

// servePostgres starts a server for tests that are run by hand.
func (c *check) servePostgres(ctx context.Context) error {
	bin, err := c.needPostgres(ctx)
	if err != nil {
		return err
	}
	s, err := c.newServer(ctx, bin)
	if err != nil {
		return err
	}
	defer s.stop()
	fmt.Fprintf(c.out, "export %s='%s'\n", dbtest.ServerVariable, s.dsn())
	select {
	case <-ctx.Done():
		return nil
	case <-s.ended:
		return fmt.Errorf("the server ended by itself: %w\n%s", s.err, s.complaints())
	}
}

// needPostgres returns the folder of PostgreSQL's programs and installs them
// if need be.
func (c *check) needPostgres(ctx context.Context) (bin string, err error) {
	if bin = findPostgres(); bin != "" {
		return bin, nil
	}
	if canInstall() {
		if err := noCluster(); err != nil {
			return "", err
		}
	}
	if err := c.aptInstall(ctx, "PostgreSQL", "postgresql"); err != nil {
		return "", err
	}
	if bin = findPostgres(); bin == "" {
		return "", errors.New("PostgreSQL is installed, but no initdb is in PATH or /usr/lib/postgresql/*/bin")
	}
	return bin, nil
}

// findPostgres returns the folder with initdb and postgres: the newest version
// where Debian keeps them side by side, else that of PATH, else "".
func findPostgres() string {
	bins, _ := filepath.Glob("/usr/lib/postgresql/*/bin") // the pattern is sound
	slices.SortFunc(bins, func(a, b string) int { return majorVersion(b) - majorVersion(a) })
	if path, err := exec.LookPath("initdb"); err == nil {
		bins = append(bins, filepath.Dir(path))
	}
	for _, bin := range bins {
		if isProgram(filepath.Join(bin, "initdb")) && isProgram(filepath.Join(bin, "postgres")) {
			return bin
		}
	}
	return ""
}

func majorVersion(bin string) int {
	n, _ := strconv.Atoi(filepath.Base(filepath.Dir(bin))) // other names sort last
	return n
}

func isProgram(path string) bool {
	info, err := os.Stat(path)
	return err == nil && info.Mode().IsRegular() && info.Mode()&0o111 != 0
}

// clusterSettings is read by Debian's package when it is first installed.
const clusterSettings = "/etc/postgresql-common/createcluster.conf"

// noCluster keeps the Debian package from making and starting a server of its
// own, unless the machine's owner has already said what it should do.
func noCluster() error {
	if _, err := os.Stat(clusterSettings); !errors.Is(err, os.ErrNotExist) {
		return err
	}
	if err := os.MkdirAll(filepath.Dir(clusterSettings), 0o755); err != nil {
		return err
	}
	return os.WriteFile(clusterSettings, []byte("create_main_cluster = false\n"), 0o644)
}

// answers waits until the server accepts a connection.
func answers(ctx context.Context, dsn string) error {
	connector, err := pq.NewConnector(dsn)
	if err != nil {
		return fmt.Errorf("%s: %w", dbtest.ServerVariable, err)
	}
	d := sql.OpenDB(connector)
	defer d.Close()
	if err := d.PingContext(ctx); err != nil {
		return fmt.Errorf("%s: %w", dbtest.ServerVariable, err)
	}
	return nil
}

// dsn names the server's maintenance database, reached by a socket in its
// folder only.
func (s *server) dsn() string {
	q := url.Values{"host": {s.folder}, "port": {serverPort}, "sslmode": {"disable"}}
	u := url.URL{Scheme: "postgres", User: url.User(superuser), Path: "/postgres", RawQuery: q.Encode()}
	return u.String()
}
