package ledger

import (
	"bufio"
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"hash"
	"io"
)

// maxLine bounds a line of a file: a full body with each byte escaped as \u00xx,
// and the other fields.
const maxLine = 6*MaxBody + 64*MaxText

// FileError reports the line at which a ledger file was refused.
type FileError struct {
	Line int   // counted from 1
	Seq  int64 // number of the fact that should stand there, 0 for the opening line
	Err  error // a *BrokenError where the chain does not hold
}

// Error names the line and the fact.
func (e *FileError) Error() string {
	if e.Seq == 0 {
		return fmt.Sprintf("ledger file, line %d: %v", e.Line, e.Err)
	}
	return fmt.Sprintf("ledger file, line %d (fact %d): %v", e.Line, e.Seq, e.Err)
}

// Unwrap returns what was wrong with the line.
func (e *FileError) Unwrap() error { return e.Err }

// Reader reads a file that Writer wrote and verifies it on the way. What it has
// returned is only known to be the whole file once Read has returned io.EOF.
type Reader struct {
	in   *bufio.Reader
	sum  hash.Hash
	line int
	have Head // the ledger that the file is to continue, zero for none
	head Head // the chain as read so far
	err  error
}

// NewReader reads the opening line. The file must continue the ledger that ends
// at have: be of the same site, begin no later than right behind it, and agree
// with it about the fact at which it ends. Facts that the ledger has already are
// verified and passed over. A zero Head takes any file as it begins; the file is
// then verified in itself only. The error is a *FileError.
func NewReader(r io.Reader, have Head) (*Reader, error) {
	lr := &Reader{in: bufio.NewReader(r), sum: sha256.New(), have: have}
	line, err := lr.next()
	if err != nil {
		return nil, lr.fail(err)
	}
	o, err := decodeLine[opening](line)
	if err == nil {
		err = o.check(have)
	}
	if err == nil {
		err = lr.agree(o.head())
	}
	if err != nil {
		return nil, lr.fail(err)
	}
	lr.head = o.head()
	lr.sum.Write(line)
	return lr, nil
}

func (o opening) check(have Head) error {
	switch {
	case o.Ledger != version:
		return fmt.Errorf("version %d of the ledger file, this program reads version %d", o.Ledger, version)
	case o.Site == "" || o.From < 1 || !isHash(o.Prev):
		return errors.New("site, from or prev is not what an export begins with")
	case o.From == 1 && o.head() != Start(o.Site):
		return errors.New("a file from fact 1 has nothing before it, but prev or noted_us says so")
	case have == Head{}:
		return nil
	case o.Site != have.Site:
		return fmt.Errorf("the ledger of site %q, not of site %q", o.Site, have.Site)
	case o.From > have.Seq+1:
		return fmt.Errorf("the file begins at fact %d, the ledger here ends at fact %d; export again from fact %d",
			o.From, have.Seq, have.Seq+1)
	}
	return nil
}

func isHash(s string) bool {
	b, err := hex.DecodeString(s)
	return err == nil && len(b) == sha256.Size && hex.EncodeToString(b) == s
}

// Read returns the next fact that the ledger does not have yet, and io.EOF after
// the last one if the file is whole. Any other error is a *FileError, and stays.
func (r *Reader) Read() (Fact, error) {
	for r.err == nil {
		f, err := r.read()
		if err != nil {
			r.err = err
			break
		}
		if f.Seq > r.have.Seq {
			return f, nil
		}
	}
	return Fact{}, r.err
}

// Head returns the head behind the facts read so far.
func (r *Reader) Head() Head { return r.head }

func (r *Reader) read() (Fact, error) {
	line, err := r.next()
	if err != nil {
		return Fact{}, r.fail(err)
	}
	if bytes.HasPrefix(line, closingMark) {
		if err := r.close(line); err != nil {
			return Fact{}, r.fail(err)
		}
		return Fact{}, io.EOF
	}
	f, err := decodeLine[Fact](line)
	if err == nil {
		err = r.head.Check(f)
	}
	if err == nil {
		err = r.agree(f.Head())
	}
	if err != nil {
		return Fact{}, r.fail(err)
	}
	r.head = f.Head()
	r.sum.Write(line)
	return f, nil
}

// agree compares the file with the ledger here where that one ends.
func (r *Reader) agree(h Head) error {
	if r.have == (Head{}) || h.Seq != r.have.Seq || h == r.have {
		return nil
	}
	return &BrokenError{Site: r.have.Site, Seq: r.have.Seq,
		Why: "the file and the ledger here tell two histories up to it"}
}

func (r *Reader) close(line []byte) error {
	c, err := decodeLine[closing](line)
	switch {
	case err != nil:
		return err
	case c.End != r.head.Seq || c.Hash != r.head.Hash:
		return fmt.Errorf("the closing line is that of fact %d, the file ends with fact %d", c.End, r.head.Seq)
	case c.Sum != hex.EncodeToString(r.sum.Sum(nil)):
		return errors.New("the file was altered: its digest is not the one in the closing line")
	}
	if _, err := r.in.ReadByte(); !errors.Is(err, io.EOF) {
		return errors.New("something stands after the closing line")
	}
	return nil
}

// next reads one line with its line feed.
func (r *Reader) next() ([]byte, error) {
	r.line++
	var line []byte
	for {
		part, err := r.in.ReadSlice('\n')
		line = append(line, part...)
		switch {
		case len(line) > maxLine:
			return nil, fmt.Errorf("longer than %d bytes: not a ledger file", maxLine)
		case err == nil:
			return line, nil
		case errors.Is(err, io.EOF):
			return nil, r.cutShort(len(line) > 0)
		case !errors.Is(err, bufio.ErrBufferFull):
			return nil, err
		}
	}
}

func (r *Reader) cutShort(inLine bool) error {
	switch {
	case r.line == 1 && !inLine:
		return errors.New("the file is empty")
	case inLine:
		return errors.New("the file was cut short within this line; export or copy it again")
	}
	return errors.New("the file was cut short: its closing line is missing; export or copy it again")
}

func (r *Reader) fail(err error) error {
	seq := r.head.Seq + 1
	if r.head.Hash == "" {
		seq = 0
	}
	return &FileError{Line: r.line, Seq: seq, Err: err}
}
