//go:build !race

package db_test

// raceRounds is how often four programs start together on a new SQLite file.
const raceRounds = 100
