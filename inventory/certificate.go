package inventory

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"ovenward/inventory/measure"
)

// PaperKind is the kind of an inspection document by EN 10204, in the order of
// what it proves: 2.1 < 2.2 < 3.1 < 3.2. Empty is a paper that states none.
type PaperKind string

var paperKinds = []PaperKind{"2.1", "2.2", "3.1", "3.2"}

// ParsePaperKind reads a kind; empty text is none. The error is a *Refusal that
// lists the kinds.
func ParsePaperKind(s string) (PaperKind, error) {
	k := PaperKind(strings.TrimSpace(s))
	if k == "" || slices.Contains(paperKinds, k) {
		return k, nil
	}
	return "", &Refusal{Code: Unknown, Subject: "certificate kind", Value: s, Why: fmt.Sprintf("unknown kind of certificate %q", s),
		Next: "write 2.1, 2.2, 3.1 or 3.2, and typical or actual apart from it"}
}

func (k PaperKind) rank() int { return slices.Index(paperKinds, k) }

// Condition is the state in which a test piece was tested.
type Condition string

// The tested conditions.
const (
	AsWelded      Condition = "as welded"
	HeatTreated   Condition = "heat treated"
	BothWays      Condition = "both"
	NotSaid       Condition = ""
	conditionHelp           = "write as welded, heat treated or both"
)

// ParseCondition reads a tested condition; a hyphen for the space is
// understood. The error is a *Refusal.
func ParseCondition(s string) (Condition, error) {
	c := Condition(strings.ReplaceAll(strings.ToLower(strings.TrimSpace(s)), "-", " "))
	if slices.Contains([]Condition{AsWelded, HeatTreated, BothWays, NotSaid}, c) {
		return c, nil
	}
	return "", &Refusal{Code: Unknown, Subject: "condition", Value: s, Why: fmt.Sprintf("unknown tested condition %q", s), Next: conditionHelp}
}

// Rejections are the reasons for which a paper is not taken.
func Rejections() []string {
	return []string{"altered", "unreadable", "generic", "wrong lot", "wrong product", "not as ordered"}
}

// Paper is a certificate of a lot, read from what was entered.
type Paper struct {
	CertificateSet
	Kind   PaperKind
	Tested measure.Date
	Tests  Condition
	Heat   measure.Duration

	ByReceipt bool // only the receipt names it; nobody entered what it shows
}

// Read reads every kind, date and time of a certificate. The error is a
// *Refusal that names the field.
func (e *CertificateSet) Read() (p Paper, err error) {
	p = Paper{CertificateSet: *e}
	p.Lot, p.Number = strings.TrimSpace(e.Lot), strings.TrimSpace(e.Number)
	if p.Lot == "" || p.Number == "" {
		return p, &Refusal{Code: Unknown, Subject: "number", Why: "a certificate has a lot and a number",
			Next: "compare both with the package; what does not match is rejected"}
	}
	if p.Kind, err = ParsePaperKind(e.SortKind); err != nil {
		return p, err
	}
	if p.Tests, err = ParseCondition(e.Condition); err != nil {
		return p, err
	}
	if e.Tested != "" {
		if p.Tested, err = measure.ParseDate(e.Tested); err != nil {
			return p, FieldRefusal("tested", err)
		}
	}
	if e.HeatTime != "" {
		if p.Heat, err = measure.ParseDuration(e.HeatTime); err != nil {
			return p, FieldRefusal("heat time", err)
		}
	}
	if e.Rejected != "" && !slices.Contains(Rejections(), e.Rejected) {
		return p, &Refusal{Code: Unknown, Subject: "rejected", Value: e.Rejected, Why: fmt.Sprintf("unknown reason %q", e.Rejected),
			Next: "write one of: " + strings.Join(Rejections(), ", ")}
	}
	return p, nil
}

// Results says whose results the paper shows.
func (p Paper) Results() string {
	switch {
	case p.Actual:
		return "actual"
	case p.ByReceipt:
		return "results not entered"
	}
	return "typical"
}

// Words names a paper with what it proves: "Z-11 (2.2, typical, tested
// 2024-04-05)".
func (p Paper) Words() string {
	parts := []string{cmp.Or(string(p.Kind), "no kind stated"), p.Results()}
	if p.Tested != "" {
		parts = append(parts, "tested "+string(p.Tested))
	}
	if p.Tests != NotSaid {
		parts = append(parts, string(p.Tests))
	}
	if p.Rejected != "" {
		parts = append(parts, "rejected: "+p.Rejected)
	}
	return p.Number + " (" + strings.Join(parts, ", ") + ")"
}

// ReceiptPaper returns the paper that a receipt named, if it named one. Its
// results count for no more than typical ones: a receipt says nothing of the test.
func ReceiptPaper(l Lot) (Paper, bool) {
	if l.Certificate == "" {
		return Paper{}, false
	}
	kind, err := ParsePaperKind(l.CertificateKind)
	if err != nil {
		kind = ""
	}
	return Paper{CertificateSet: CertificateSet{Lot: l.Code, Number: l.Certificate, Actual: l.CertificateKind == "actual"},
		Kind: kind, ByReceipt: true}, true
}
