package rules

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"

	"github.com/BurntSushi/toml"

	"ovenward/inventory/measure"
)

// FileError reports a rule file that cannot be used. It names the file, the
// place in it and what is wrong.
type FileError struct {
	File string
	Line int    // zero where the fault is not at one line
	Row  string // the row concerned, empty for the set itself
	Why  string
}

// Error returns the whole sentence.
func (e *FileError) Error() string {
	at := e.File
	if e.Line > 0 {
		at = fmt.Sprintf("%s:%d", e.File, e.Line)
	}
	if e.Row != "" {
		at += ", row " + e.Row
	}
	return at + ": " + e.Why
}

// Parse reads a rule set and checks it: units, ranges, overlaps, sources. The
// error is one *FileError or several joined.
func Parse(file string, text []byte) (*Set, error) {
	var s Set
	meta, err := toml.Decode(string(text), &s)
	if err != nil {
		return nil, decodeError(file, err)
	}
	var faults []error
	for _, key := range meta.Undecoded() {
		faults = append(faults, &FileError{File: file, Why: fmt.Sprintf("unknown key %q: check its spelling against the shipped sets", key)})
	}
	s.setDefaults()
	sum := sha256.Sum256(text)
	s.Digest, s.Text = hex.EncodeToString(sum[:]), string(text)
	faults = append(faults, s.check(file)...)
	if len(faults) > 0 {
		return nil, errors.Join(faults...)
	}
	return &s, nil
}

func decodeError(file string, err error) error {
	if p, ok := errors.AsType[toml.ParseError](err); ok {
		return &FileError{File: file, Line: p.Position.Line, Why: p.Message + p.Error()[len("toml: "):]}
	}
	return &FileError{File: file, Why: err.Error()}
}

// setDefaults fills what a set may leave out with the strict choice.
func (s *Set) setDefaults() {
	def(&s.Clock.Policy, Running)
	def(&s.Clock.WarnPercent, 80)
	def(&s.Clock.ReturnAtLimit, BakeAtLimit)
	def(&s.Evidence.MaxGap, measure.Hour)
	def(&s.Evidence.Missing, MissingQAHold)
	def(&s.Oven.Excursion, ExcursionExposure)
	for i := range s.Quiver {
		def(&s.Quiver[i].OnDip, "open")
	}
	for _, m := range s.metas() {
		def(&m.Authority, Code)
	}
}

func def[T comparable](p *T, v T) {
	var zero T
	if *p == zero {
		*p = v
	}
}
