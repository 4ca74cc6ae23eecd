package main

import (
	"os"
	"regexp"
	"testing"
)

// What a newcomer is not told of is not there: the README names every command.
func TestReadmeNamesEveryCommand(t *testing.T) {
	t.Parallel()
	text, err := os.ReadFile("../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range commands(&env{}) {
		if !regexp.MustCompile("(`|ovenward )" + regexp.QuoteMeta(c.Name) + `\b`).Match(text) {
			t.Errorf("README.md does not name %s: say in a line what it is for", c.Name)
		}
	}
}
