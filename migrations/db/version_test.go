package db_test

import (
	"errors"
	"strings"
	"testing"

	"ovenward/migrations/db"
)

// The fault was fixed in 3.51.3 (sqlite.org/wal.html, "the WAL-reset bug"). The
// back-ports 3.44.6 and 3.50.7 are not accepted: no driver for Go carries them.
func TestSQLiteThatCanLoseCommitsIsRefused(t *testing.T) {
	t.Parallel()
	for version, good := range map[string]bool{
		"3.51.3": true, "3.51.10": true, "3.52.0": true, "3.54.1": true, "4.0.0": true,
		"3.51.2": false, "3.40.1": false, "3.9.9": false, "2.99.99": false,
		"": false, "3.51": false, "3.x.1": false,
	} {
		err := db.CheckVersion(version)
		if good && err != nil {
			t.Errorf("version %q: %v", version, err)
		}
		if !good && (!errors.Is(err, db.ErrOldSQLite) || !strings.Contains(err.Error(), `"`+version+`"`)) {
			t.Errorf("version %q: error %v, want %v naming it", version, err, db.ErrOldSQLite)
		}
	}
}
