package dbtest

import (
	"context"
	"crypto/rand"
	"database/sql"
	"errors"
	"fmt"
	"net/url"
	"os"
	"strings"
	"testing"

	_ "github.com/lib/pq" // the driver "postgres"
)

// ServerVariable is the environment variable that names a PostgreSQL database
// whose user may create others: postgres://USER@/postgres?host=/SOCKET/FOLDER.
const ServerVariable = "OVENWARD_TEST_POSTGRES"

const noServer = `no PostgreSQL server: ` + ServerVariable + ` is not set.
Run all tests with "go run ./cmd/check", or start a server in another terminal with
"go run ./cmd/check postgres" and set the variable to what it prints`

// Server makes a new, empty database on the test server and returns its name for
// db.Open. It is dropped when the test ends.
func Server(t testing.TB) string {
	t.Helper()
	return newDatabase(t, "")
}

func newDatabase(t testing.TB, from string) string {
	t.Helper()
	server, err := serverURL()
	if err != nil {
		t.Fatal(err)
	}
	name := "test_" + strings.ToLower(rand.Text())
	admin(t, server.String(), "CREATE DATABASE "+name+from)
	t.Cleanup(func() { admin(t, server.String(), "DROP DATABASE "+name+" WITH (FORCE)") })
	u := *server
	u.Path = "/" + name
	return u.String()
}

func serverURL() (*url.URL, error) {
	server := os.Getenv(ServerVariable)
	if server == "" {
		return nil, errors.New(noServer)
	}
	u, err := url.Parse(server)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", ServerVariable, err)
	}
	return u, nil
}

// admin runs one statement on the maintenance database. It works in a test's
// clean-up, when the test's own context has ended.
func admin(t testing.TB, server, statement string) {
	t.Helper()
	d, err := sql.Open("postgres", server)
	if err != nil {
		t.Fatalf("%s: %v", ServerVariable, err)
	}
	defer d.Close()
	if _, err := d.ExecContext(context.Background(), statement); err != nil {
		t.Errorf("%s: %v", statement, err)
	}
}
