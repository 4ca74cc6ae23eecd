// Package migrations holds the database schema: one numbered file a step and
// engine, NNNN_name.sql, with the same numbers and names in both folders. Files
// are never changed once released; a change is a new file.
package migrations

import "embed"

// Files holds the folders sqlite and postgres with their numbered SQL files in
// goose's notation.
//
//go:embed sqlite postgres
var Files embed.FS
