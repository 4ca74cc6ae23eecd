//go:build !unix

package main

// becomeNobody does nothing where there is no root.
func becomeNobody() {}
