//go:build race

package main

// scripts are fewer under the race detector, which makes every one of their
// thousand short processes slow: the stories go through all that runs together.
// Without it all of them are run.
const scripts = "story_*.txtar"
