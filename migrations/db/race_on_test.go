//go:build race

package db_test

// raceRounds is smaller here, because the race detector makes every start of a
// child ten times as slow and finds nothing in other processes.
const raceRounds = 25
