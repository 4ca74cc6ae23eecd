package ledger

import (
	"encoding/json"
	"fmt"
	"strings"
	"unicode/utf8"

	"github.com/google/uuid"

	"ovenward/inventory/measure"
)

// Limits on the texts of a fact, in bytes. They keep a line of an export in
// bounds; no fact of the trade comes near them.
const (
	MaxText = 4 << 10 // each field but the body
	MaxBody = 1 << 20
)

// Draft is a fact before it has its place in the chain.
type Draft struct {
	ID   string // UUID in lower case with hyphens, version 7 by custom
	Kind string
	At   measure.Instant // when it happened
	// Noted is when the server records it. A clock that was set back does not
	// bring it before the fact before: Next takes the later of the two.
	Noted      measure.Instant
	By         string
	Via        string
	Body       string // JSON, kept and hashed byte for byte
	Supersedes string // id of the fact that this one corrects, or ""
	Reason     string // must be given with Supersedes
}

// FieldError reports a field of a draft that no ledger takes.
type FieldError struct {
	Field string // name of the field as in an export
	Value string // the beginning of what it held
	Why   string // what is wrong and what to give
}

// Error returns the whole sentence.
func (e *FieldError) Error() string {
	return fmt.Sprintf("fact: %s %q: %s", e.Field, e.Value, e.Why)
}

// Check reports the first field that is empty, too long, not text or not of its
// form. The error is a *FieldError.
func (d Draft) Check() error {
	for _, f := range [...]struct {
		name, value string
		needed      bool
	}{
		{"id", d.ID, true}, {"kind", d.Kind, true}, {"by", d.By, true}, {"via", d.Via, true},
		{"supersedes", d.Supersedes, false}, {"reason", d.Reason, d.Supersedes != ""},
	} {
		if why := textFault(f.value, f.needed, MaxText); why != "" {
			return fieldError(f.name, f.value, why)
		}
	}
	if why := textFault(d.Body, true, MaxBody); why != "" {
		return fieldError("body", d.Body, why)
	}
	return d.checkForms()
}

func (d Draft) checkForms() error {
	switch {
	case !isUUID(d.ID):
		return fieldError("id", d.ID, "not a UUID in lower case with hyphens")
	case d.Supersedes != "" && !isUUID(d.Supersedes):
		return fieldError("supersedes", d.Supersedes, "not the id of a fact")
	case d.Supersedes == d.ID:
		return fieldError("supersedes", d.Supersedes, "a fact cannot supersede itself")
	case !json.Valid([]byte(d.Body)):
		return fieldError("body", d.Body, "not JSON")
	}
	return nil
}

// isUUID asks for the one canonical spelling, since two spellings of one id
// would be two facts.
func isUUID(s string) bool {
	u, err := uuid.Parse(s)
	return err == nil && u.String() == s
}

// textFault says what keeps a text out of both engines and out of JSON.
func textFault(s string, needed bool, limit int) string {
	switch {
	case needed && strings.TrimSpace(s) == "":
		return "must not be empty"
	case len(s) > limit:
		return fmt.Sprintf("%d bytes long, the limit is %d; shorten it", len(s), limit)
	case !utf8.ValidString(s):
		return "not UTF-8 text"
	case strings.ContainsRune(s, 0):
		return "holds a zero character; remove it"
	}
	return ""
}

func fieldError(field, value, why string) error {
	const shown = 60
	if len(value) > shown {
		value = strings.ToValidUTF8(value[:shown], "") + "..."
	}
	return &FieldError{Field: field, Value: value, Why: why}
}
