package ledger

import (
	"bytes"
	"encoding/json"
	"fmt"

	"ovenward/inventory/measure"
)

// version is the version of the export file.
const version = 1

// opening is the first line of an export: whose ledger it is and behind which
// fact the file begins.
type opening struct {
	Ledger int             `json:"ledger"`
	Site   string          `json:"site"`
	From   int64           `json:"from"`     // number of the first fact in the file
	Prev   string          `json:"prev"`     // hash of the fact before it
	Noted  measure.Instant `json:"noted_us"` // noted of the fact before it
}

func (o opening) head() Head {
	return Head{Site: o.Site, Seq: o.From - 1, Hash: o.Prev, Noted: o.Noted}
}

func openingOf(h Head) opening {
	return opening{Ledger: version, Site: h.Site, From: h.Seq + 1, Prev: h.Hash, Noted: h.Noted}
}

// closing is the last line of an export, without which a file that was cut
// between two lines would look whole.
type closing struct {
	End  int64  `json:"end"`    // number of the newest fact
	Hash string `json:"hash"`   // its hash
	Sum  string `json:"sha256"` // SHA-256 of all bytes before this line
}

var closingMark = []byte(`{"end":`)

// encodeLine returns the one way in which a line may be written.
func encodeLine(v any) ([]byte, error) {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	err := e.Encode(v)
	return b.Bytes(), err
}

// decodeLine reads a line that encodeLine wrote, and no other spelling of the
// same values: a file is either the bytes that were exported or refused.
func decodeLine[T opening | closing | Fact](line []byte) (T, error) {
	var v T
	if err := json.Unmarshal(line, &v); err != nil {
		return v, fmt.Errorf("not a line of a ledger file: %w", err)
	}
	again, err := encodeLine(v)
	if err != nil {
		return v, err
	}
	if !bytes.Equal(again, line) {
		return v, fmt.Errorf("the line was altered: it is not spelt as a ledger file is")
	}
	return v, nil
}
