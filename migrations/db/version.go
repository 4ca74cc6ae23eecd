package db

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// oldestSQLite is the first version without the WAL-reset fault: up to 3.51.2
// two connections that write and checkpoint at the same instant can lose
// committed pages (sqlite.org/wal.html, "the WAL-reset bug").
var oldestSQLite = [3]int{3, 51, 3}

// checkVersion returns an *Error that wraps ErrOldSQLite unless version, such
// as 3.51.3, is recent enough.
func checkVersion(version string) error {
	got, err := parseVersion(version)
	if err == nil && slices.Compare(got[:], oldestSQLite[:]) >= 0 {
		return nil
	}
	return &Error{
		Kind: ErrOldSQLite, Database: fmt.Sprintf("SQLite library %q", version), Err: err,
		Next: "3.51.3 or newer is needed: build ovenward with its own go.mod",
	}
}

func parseVersion(s string) (v [3]int, err error) {
	parts := strings.Split(s, ".")
	if len(parts) != len(v) {
		return v, fmt.Errorf("version %q: want three numbers", s)
	}
	for i, p := range parts {
		if v[i], err = strconv.Atoi(p); err != nil {
			return v, fmt.Errorf("version %q: %w", s, err)
		}
	}
	return v, nil
}
