//go:build race

package timeline_test

// days is smaller here, because the race detector makes a database that opens
// ten times as slow and each day opens two.
const days = "6"
