package ledger

import (
	"fmt"

	"ovenward/inventory/measure"
)

// Head is the newest end of a site's ledger: all that the next fact needs to
// know of those before it.
type Head struct {
	Site  string          `db:"site" json:"site"`
	Seq   int64           `db:"seq" json:"seq"`           // number of facts
	Hash  string          `db:"hash" json:"hash"`         // hash of the newest, Genesis if there is none
	Noted measure.Instant `db:"noted_us" json:"noted_us"` // noted of the newest, 0 if there is none
}

// BrokenError reports the first fact that does not continue its site's chain.
type BrokenError struct {
	Site string
	Seq  int64  // number of the bad or missing fact
	Why  string // what does not fit
}

// Error names the site, the fact and what does not fit.
func (e *BrokenError) Error() string {
	return fmt.Sprintf("ledger of site %q is broken at fact %d: %s; compare with an export or a backup",
		e.Site, e.Seq, e.Why)
}

// Start returns the head of a site's empty ledger.
func Start(site string) Head { return Head{Site: site, Hash: Genesis} }

// Next returns the fact that a draft becomes behind this head: numbered, noted
// no earlier than the fact before, and chained. The error is a *FieldError. Two
// drafts with one id are not noticed here; the store does that.
func (h Head) Next(d Draft) (Fact, error) {
	if why := textFault(h.Site, true, MaxText); why != "" {
		return Fact{}, fieldError("site", h.Site, why)
	}
	if err := d.Check(); err != nil {
		return Fact{}, err
	}
	f := Fact{
		Site: h.Site, Seq: h.Seq + 1, ID: d.ID, Kind: d.Kind,
		At: d.At, Noted: max(d.Noted, h.Noted), By: d.By, Via: d.Via, Body: d.Body,
		Supersedes: d.Supersedes, Reason: d.Reason, Prev: h.Hash, Encoding: Encoding,
	}
	f.Hash = f.Digest()
	return f, nil
}

// Check reports whether f is the fact behind this head. The error is a
// *BrokenError that names f, or the missing fact before it.
func (h Head) Check(f Fact) error {
	broken := func(seq int64, format string, args ...any) error {
		return &BrokenError{Site: h.Site, Seq: seq, Why: fmt.Sprintf(format, args...)}
	}
	switch next := h.Seq + 1; {
	case f.Site != h.Site:
		return broken(next, "it is a fact of site %q", f.Site)
	case f.Seq > next:
		return broken(next, "it is missing, fact %d comes instead", f.Seq)
	case f.Seq < next:
		return broken(f.Seq, "it comes again after fact %d", h.Seq)
	case f.Encoding != Encoding:
		return broken(next, "its hash encoding %d is not known here, the newest known is %d", f.Encoding, Encoding)
	case f.Prev != h.Hash:
		return broken(next, "it does not carry the hash of the fact before")
	case f.Noted < h.Noted:
		return broken(next, "it was noted at %s, before the fact before it at %s", f.Noted, h.Noted)
	case f.Hash != f.Digest():
		return broken(next, "its hash is not that of its contents")
	}
	return nil
}
