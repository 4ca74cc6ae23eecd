//go:build !linux

package db

// networkWarnings cannot tell network file systems on this operating system;
// the manual warns in its place.
func networkWarnings(string) []string { return nil }
