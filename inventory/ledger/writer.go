package ledger

import (
	"bufio"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"hash"
	"io"
)

// Writer writes facts as a file of JSON lines that Reader reads: an opening
// line, one line for each fact, and a closing line with the digest of all
// before it. The same facts always give the same bytes.
type Writer struct {
	out  *bufio.Writer
	sum  hash.Hash
	head Head
}

// NewWriter begins a file with the facts behind a head; Start(site) begins a
// whole ledger.
func NewWriter(w io.Writer, from Head) (*Writer, error) {
	lw := &Writer{out: bufio.NewWriter(w), sum: sha256.New(), head: from}
	return lw, lw.line(openingOf(from))
}

// Write writes the next fact. The error is a *BrokenError if it is not the one
// behind the fact before: a broken chain is not exported.
func (w *Writer) Write(f Fact) error {
	if err := w.head.Check(f); err != nil {
		return err
	}
	w.head = f.Head()
	return w.line(f)
}

// Close writes the closing line, without which no Reader takes the file, and
// hands everything on. It does not close the writer underneath.
func (w *Writer) Close() error {
	sum := hex.EncodeToString(w.sum.Sum(nil))
	if err := w.line(closing{End: w.head.Seq, Hash: w.head.Hash, Sum: sum}); err != nil {
		return err
	}
	if err := w.out.Flush(); err != nil {
		return fmt.Errorf("ledger file: %w", err)
	}
	return nil
}

func (w *Writer) line(v any) error {
	b, err := encodeLine(v)
	if err == nil {
		w.sum.Write(b)
		_, err = w.out.Write(b)
	}
	if err != nil {
		return fmt.Errorf("ledger file: %w", err)
	}
	return nil
}
