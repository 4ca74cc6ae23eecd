//go:build !race

package dbtest

func wholeEngines() []engine { return engines() }
