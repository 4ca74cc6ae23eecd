package feed

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
)

// Head is the beginning of a file that a logger writes: what its later rows are
// read with, and what the file is known again by under another name.
type Head struct {
	Length int    // bytes up to the end of the first line with anything in it: the header, or the first row
	Lines  int64  // in those
	Begins string // digest up to the end of the line behind it
}

// FindHead finds the head in the first bytes of a file; false until the line
// behind the header is whole. A logger's files have one header, and differ by the
// time in their first row.
func FindHead(b []byte) (h Head, ok bool) {
	length := 0
	for n := range 2 {
		for {
			end := bytes.IndexByte(b[length:], '\n')
			if end < 0 {
				return Head{}, false
			}
			line := bytes.TrimSpace(bytes.TrimPrefix(b[length:length+end], []byte("\ufeff")))
			length += end + 1
			if n == 0 {
				h.Lines++
			}
			if len(line) > 0 && !(n == 0 && bytes.HasPrefix(line, []byte("sep="))) {
				break
			}
		}
		if n == 0 {
			h.Length = length
		}
	}
	h.Begins = Digest(b[:length])
	return h, true
}

// Whole returns how many of the bytes are whole lines: what is behind the last
// line end is still being written.
func Whole(b []byte) int { return bytes.LastIndexByte(b, '\n') + 1 }

// Digest returns the SHA-256 of bytes in hexadecimal.
func Digest(b []byte) string {
	sum := sha256.Sum256(b)
	return hex.EncodeToString(sum[:])
}
