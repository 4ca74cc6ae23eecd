package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"

	"ovenward/migrations/db/dbtest"
)

// TestMain lets the test binary be the program: a script that runs "ovenward"
// runs main in a process of its own.
func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){"ovenward": scripted})
}

// TestScripts runs every script of testdata/script on each engine, each on a
// database of its own that OVENWARD_DB names. With OVENWARD_UPDATE_SCRIPTS set
// the files that scripts compare with are brought up to date.
//
// The scripts are the manual of the program. Beside testscript's own commands
// they have
//
//	exits STATUS COMMAND ARG...      as exec, and the exit status must be this one
//	unwritten STATUS COMMAND ARG...  as exits, and nothing may have been written
//	refused CODE COMMAND ARG...      as unwritten 3, with this code and a next step
//	clock TIME [PLACE VALUE]         it is now that time on the site's clock; the
//	                                 place was read every hour until then
//	shop                             a shop to work in is set up, see shop_test.go
//	masked FILE                      the file with <id> and <hash> for what differs
//	doctored NAME OLD NEW            text in the facts that name something is changed
//	                                 past the program, so that the chain holds
//	[!] reports [R=SUBJECT] ARG...   every report is made in each form, and has rows
//	                                 [or none]; each empty part says so
//	lock, unlock                     someone else writes to the database, and ends
//	newer                            a newer program changes the database's tables
//	nobody                           commands run as a user whom file modes stop
func TestScripts(t *testing.T) {
	t.Parallel()
	files, err := filepath.Glob("testdata/script/" + scripts)
	if err != nil || len(files) == 0 {
		t.Fatalf("no script in testdata/script: %v", err)
	}
	for _, f := range files {
		name := strings.TrimSuffix(filepath.Base(f), ".txtar")
		t.Run("sqlite/"+name, func(t *testing.T) {
			t.Parallel()
			runScript(t, f, "sqlite", func(work string) string { return "sqlite:" + filepath.Join(work, "ovenward.db") })
		})
		t.Run("postgres/"+name, func(t *testing.T) {
			t.Parallel()
			dsn := dbtest.Prepared(t)
			runScript(t, f, "postgres", func(string) string { return dsn })
		})
	}
}

// runScript runs one script; dsn names its database, given its work folder.
func runScript(t *testing.T, file, engine string, dsn func(work string) string) {
	t.Helper()
	testscript.Run(t, testscript.Params{
		Files: []string{file},
		Setup: func(e *testscript.Env) error {
			e.Setenv("OVENWARD_DB", dsn(e.WorkDir))
			e.Values[lockKey{}] = &lock{}
			return nil
		},
		Condition:           func(cond string) (bool, error) { return cond == engine, nil },
		Cmds:                scriptCommands,
		RequireExplicitExec: true,
		RequireUniqueNames:  true,
		UpdateScripts:       os.Getenv("OVENWARD_UPDATE_SCRIPTS") != "",
	})
}
