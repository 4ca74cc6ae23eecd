//go:build race

package dbtest

func wholeEngines() []engine { return []engine{onServer()} }
