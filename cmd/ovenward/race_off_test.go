//go:build !race

package main

// scripts are the scripts that are run.
const scripts = "*.txtar"
