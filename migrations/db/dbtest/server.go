package dbtest

import (
	"context"
	"crypto/rand"
	"database/sql"
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
"go run ./cmd/check postgres" and set the variable to what it prints.`

// Server makes a new database on the test server and returns its name for
// db.Open. It is dropped when the test ends.
func Server(t testing.TB) string {
	t.Helper()
	server := os.Getenv(ServerVariable)
	if server == "" {
		t.Fatal(noServer)
	}
	u, err := url.Parse(server)
	if err != nil {
		t.Fatalf("%s: %v", ServerVariable, err)
	}
	name := "test_" + strings.ToLower(rand.Text())
	admin(t, server, "CREATE DATABASE "+name)
	t.Cleanup(func() { admin(t, server, "DROP DATABASE "+name+" WITH (FORCE)") })
	u.Path = "/" + name
	return u.String()
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
