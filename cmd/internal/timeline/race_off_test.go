//go:build !race

package timeline_test

// days is how many random days are replayed where no number is asked for.
const days = "100"
