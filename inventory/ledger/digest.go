package ledger

import (
	"crypto/sha256"
	"encoding/hex"
	"strconv"
)

// Encoding is the version of the hash encoding that new facts are written with.
const Encoding = 1

// Genesis stands as the hash before a site's first fact: 64 zeros.
const Genesis = "0000000000000000000000000000000000000000000000000000000000000000"

// Digest returns the hash that the fact must carry, 64 lower-case hexadecimal
// digits, computed by the encoding that it names. It is "" for an encoding that
// this program does not know, which no stored hash can equal.
func (f Fact) Digest() string {
	if f.Encoding != Encoding {
		return ""
	}
	sum := sha256.Sum256(f.encode())
	return hex.EncodeToString(sum[:])
}

// encode returns the bytes of encoding 1, as the package comment describes them.
func (f Fact) encode() []byte {
	const frame = 13*len("1234:,") + 4*len("-9223372036854775808") + len(Genesis)
	b := make([]byte, 0, frame+len(f.Site)+len(f.ID)+len(f.Kind)+len(f.By)+len(f.Via)+
		len(f.Body)+len(f.Supersedes)+len(f.Reason))
	b = appendNumber(b, int64(f.Encoding))
	b = appendText(b, f.Site)
	b = appendNumber(b, f.Seq)
	b = appendText(b, f.ID)
	b = appendText(b, f.Kind)
	b = appendNumber(b, int64(f.At))
	b = appendNumber(b, int64(f.Noted))
	for _, s := range [...]string{f.By, f.Via, f.Body, f.Supersedes, f.Reason, f.Prev} {
		b = appendText(b, s)
	}
	return b
}

// appendText appends one netstring.
func appendText(b []byte, s string) []byte {
	b = strconv.AppendInt(b, int64(len(s)), 10)
	b = append(b, ':')
	b = append(b, s...)
	return append(b, ',')
}

func appendNumber(b []byte, n int64) []byte {
	var digits [20]byte
	text := strconv.AppendInt(digits[:0], n, 10)
	b = strconv.AppendInt(b, int64(len(text)), 10)
	b = append(b, ':')
	b = append(b, text...)
	return append(b, ',')
}
