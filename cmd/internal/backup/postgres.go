package backup

import (
	"cmp"
	"context"
	"fmt"
	"net/url"
	"os"
	"os/exec"
	"strings"
)

// ToolError means that a program of PostgreSQL is not on this machine.
type ToolError struct{ Tool string }

// Error implements error.
func (e *ToolError) Error() string {
	return e.Tool + " is not found: a PostgreSQL database is backed up and restored by PostgreSQL's own programs"
}

// Hint returns the next step.
func (e *ToolError) Hint() string {
	return "install PostgreSQL's client programs, of the server's version or newer, and put " + e.Tool + " on the PATH"
}

// connection is how PostgreSQL's programs reach a database.
type connection struct {
	url      *url.URL // without the password
	password string
}

// known are the parameters that PostgreSQL's programs take. A driver passes others
// on to the server, which they do not.
var known = []string{"host", "port", "user", "dbname", "sslmode", "sslcert", "sslkey", "sslrootcert", "connect_timeout", "options"}

func client(dsn string) (c connection, err error) {
	if c.url, err = url.Parse(dsn); err != nil {
		return c, fmt.Errorf("the database's name is not understood")
	}
	q, kept := c.url.Query(), url.Values{}
	c.password = q.Get("password")
	if p, ok := c.url.User.Password(); ok {
		c.password = p
		c.url.User = url.User(c.url.User.Username())
	}
	for _, k := range known {
		if q.Has(k) {
			kept.Set(k, q.Get(k))
		}
	}
	c.url.RawQuery = kept.Encode()
	return c, nil
}

func (c connection) database() string {
	if c.url == nil {
		return ""
	}
	name := cmp.Or(strings.TrimPrefix(c.url.Path, "/"), c.url.Query().Get("dbname"), "postgres")
	return strings.NewReplacer("/", "_", `\`, "_").Replace(name)
}

// run runs one of PostgreSQL's programs. The password is not among its arguments,
// which others on the machine can see.
func (c connection) run(ctx context.Context, tool string, args ...string) error {
	path, err := exec.LookPath(tool)
	if err != nil {
		return &ToolError{tool}
	}
	cmd := exec.CommandContext(ctx, path, args...)
	cmd.Env = os.Environ()
	if c.password != "" {
		cmd.Env = append(cmd.Env, "PGPASSWORD="+c.password)
	}
	out, err := cmd.CombinedOutput()
	if err != nil {
		return fmt.Errorf("%s: %w: %s", tool, err, strings.TrimSpace(string(out)))
	}
	return nil
}

// dump writes a PostgreSQL database to a file in the server's own archive form.
func dump(ctx context.Context, dsn, file string) error {
	c, err := client(dsn)
	if err != nil {
		return err
	}
	return c.run(ctx, "pg_dump", "--no-password", "--format=custom", "--no-owner", "--no-privileges", "--file="+file, "--dbname="+c.url.String())
}

// restore fills a database that must be empty. It takes all or nothing and drops
// nothing.
func restore(ctx context.Context, dsn, file string) error {
	c, err := client(dsn)
	if err != nil {
		return err
	}
	return c.run(ctx, "pg_restore", "--no-password", "--no-owner", "--no-privileges", "--single-transaction", "--exit-on-error",
		"--dbname="+c.url.String(), file)
}
