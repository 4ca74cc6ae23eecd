// Package ledger is the append-only record of what a person or an instrument
// saw: facts, numbered without a gap at each site and chained by SHA-256, so
// that a changed, missing or inserted fact is found and named.
//
// # Hash encoding 1
//
// The hash of a fact is the SHA-256, in lower-case hexadecimal, of thirteen
// fields in this order:
//
//	encoding site seq id kind at noted by via body supersedes reason prev
//
// Each is written as a netstring: the length of its value in bytes as a decimal
// number, a colon, the value, a comma. Texts are their UTF-8 bytes exactly as
// stored. Numbers are decimal, with a minus sign if negative and without
// leading zeros; at and noted are microseconds since 1970-01-01 00:00 UTC. prev
// is the hash of the site's fact before, 64 zeros for the first. So the first
// fact of the site "yard" begins "1:1,4:yard,1:1,36:". The file
// testdata/vectors.jsonl has facts with their encodings and hashes, for a second
// program to be checked against.
//
// # Anchors
//
// A chain alone does not show that its newest facts were cut off, or that all of
// its end was written anew with matching hashes. That takes anchors, the size
// and Merkle root of the ledger kept somewhere else; their place is in this
// package, beside the chain, and they are not built yet.
package ledger

import "ovenward/inventory/measure"

// Fact is one row of a site's ledger. It is never changed and never deleted; a
// correction is a new fact that supersedes it.
type Fact struct {
	Site  string          `db:"site" json:"site"`
	Seq   int64           `db:"seq" json:"seq"`           // 1, 2, 3 ... without a gap at each site
	ID    string          `db:"id" json:"id"`             // UUID made by the caller: the idempotency key
	Kind  string          `db:"kind" json:"kind"`         // "receive", "issue", "return" ...
	At    measure.Instant `db:"at_us" json:"at_us"`       // when it happened
	Noted measure.Instant `db:"noted_us" json:"noted_us"` // when it was recorded, by the server's clock
	By    string          `db:"by_who" json:"by"`         // the person who says so
	Via   string          `db:"via" json:"via"`           // the terminal or program it came through
	Body  string          `db:"body" json:"body"`         // the JSON exactly as hashed

	Supersedes string `db:"supersedes" json:"supersedes"` // id of the fact that this one corrects, or ""
	Reason     string `db:"reason" json:"reason"`         // why it was corrected, overridden or entered late
	Prev       string `db:"prev" json:"prev"`             // hash of the fact before
	Hash       string `db:"hash" json:"hash"`             // Digest of this fact
	Encoding   int    `db:"encoding" json:"encoding"`     // version of the hash encoding
}

// LateAfter is how long after it happened a fact may be noted without being
// shown as late. The figure is this program's own; contemporaneous recording is
// what 21 CFR 11.10(e) and the ALCOA+ principles ask for.
const LateAfter = 15 * measure.Minute

// Late returns the time from when the fact happened to when it was noted, and
// whether that is more than LateAfter.
func (f Fact) Late() (measure.Duration, bool) {
	behind := f.Noted.Sub(f.At)
	return behind, behind > LateAfter
}

// Draft returns the part of the fact that its caller made.
func (f Fact) Draft() Draft {
	return Draft{
		ID: f.ID, Kind: f.Kind, At: f.At, Noted: f.Noted, By: f.By, Via: f.Via,
		Body: f.Body, Supersedes: f.Supersedes, Reason: f.Reason,
	}
}

// Head returns the head of a ledger whose newest fact is f.
func (f Fact) Head() Head {
	return Head{Site: f.Site, Seq: f.Seq, Hash: f.Hash, Noted: f.Noted}
}
