package db

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io/fs"
	"slices"
	"strconv"
	"strings"
)

// step is one migration file, or its record in the database.
type step struct {
	Version int64  `db:"version"`
	Name    string `db:"name"`
	SHA256  string `db:"sha256"`
}

// readSteps reads the migration files of one engine in order. They are numbered
// 1, 2, 3 without a gap, because a gap would be filled later by a file that
// some databases never see.
func readSteps(fsys fs.FS, engine Engine) ([]step, error) {
	names, err := fs.Glob(fsys, string(engine)+"/*.sql")
	if err != nil {
		return nil, err
	}
	slices.Sort(names)
	steps := make([]step, 0, len(names))
	for i, path := range names {
		s, err := readStep(fsys, path)
		if err != nil {
			return nil, err
		}
		if s.Version != int64(i+1) {
			return nil, fmt.Errorf("migration %s: number %d, want %d: numbers have no gap", path, s.Version, i+1)
		}
		steps = append(steps, s)
	}
	return steps, nil
}

func readStep(fsys fs.FS, path string) (step, error) {
	name := path[strings.LastIndex(path, "/")+1:]
	number, _, _ := strings.Cut(name, "_")
	version, err := strconv.ParseInt(number, 10, 32)
	if err != nil {
		return step{}, fmt.Errorf("migration %s: name must begin with a number and _: %w", path, err)
	}
	text, err := fs.ReadFile(fsys, path)
	if err != nil {
		return step{}, err
	}
	sum := sha256.Sum256(text)
	return step{Version: version, Name: name, SHA256: hex.EncodeToString(sum[:])}, nil
}

// compare reports whether the database, whose applied steps are given, lacks
// steps that the program knows. It is an error if the database has steps that
// the program does not know, or made with other files.
func (d *DB) compare(applied, known []step) (behind bool, err error) {
	if len(applied) > len(known) {
		return false, &Error{
			Kind: ErrNewerSchema, Database: d.name,
			Err:  fmt.Errorf("database has schema %d, this program knows up to %d", len(applied), len(known)),
			Next: "use the newer ovenward that changed it, or restore a backup from before",
		}
	}
	for i, a := range applied {
		if a != known[i] {
			return false, &Error{
				Kind: ErrOtherSchema, Database: d.name,
				Err: fmt.Errorf("step %d was made with %s %.8s, this program has %s %.8s",
					a.Version, a.Name, a.SHA256, known[i].Name, known[i].SHA256),
				Next: "use the build that made it, or another file",
			}
		}
	}
	return len(applied) < len(known), nil
}
