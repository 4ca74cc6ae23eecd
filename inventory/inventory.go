// Package inventory holds what a rod room has and who has it: lots, bundles,
// slips, places, and the facts that people enter about them.
//
// The package is pure. It reads no clock and no database; what it is given is
// what it judges.
package inventory
