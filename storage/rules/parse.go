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

// Parse reads a rule set and checks it: units, ranges, overlaps, gaps, sources.
// The file is only named in errors. The error is one *FileError or several
// joined, in the order of the checks.
func Parse(file string, text []byte) (*Set, error) {
	var s Set
	page := newPage(file, string(text))
	meta, err := toml.Decode(page.text, &s)
	if err != nil {
		return nil, page.decodeError(err)
	}
	c := checker{page: page, set: &s}
	c.unknown(meta.Undecoded())
	s.setDefaults(&meta)
	sum := sha256.Sum256(text)
	s.Digest, s.Text = hex.EncodeToString(sum[:]), page.text
	c.all()
	if len(c.faults) > 0 {
		return nil, errors.Join(c.faults...)
	}
	return &s, nil
}

// unknown reports keys that no rule set has. What stands in an unknown table is
// not reported again.
func (c *checker) unknown(keys []toml.Key) {
	tables := map[string]bool{}
	for _, key := range keys {
		name := key.String()
		tables[name] = true
		if tables[key[:len(key)-1].String()] {
			continue
		}
		line, row := c.page.next(key)
		c.faults = append(c.faults, &FileError{File: c.page.file, Line: line, Row: row,
			Why: fmt.Sprintf("unknown key %q: check its spelling against the shipped sets", name)})
	}
}

// setDefaults fills what a set leaves out. The first bake counts then, which is
// the strict choice where a code is silent.
func (s *Set) setDefaults(meta *toml.MetaData) {
	def(&s.Clock.Policy, Running)
	def(&s.Clock.WarnPercent, 80)
	def(&s.Clock.ReturnAtLimit, BakeAtLimit)
	def(&s.Evidence.MaxGap, measure.Hour)
	def(&s.Evidence.Missing, MissingQAHold)
	def(&s.Oven.Excursion, ExcursionExposure)
	def(&s.People.Training, Unchecked)
	def(&s.People.Welders, Warned)
	def(&s.Oven.Lapsed, Warned)
	if !meta.IsDefined("bakes", "first_counts") {
		s.Bakes.FirstCounts = true
	}
	s.Issue.setDefaults()
	s.Shelf.setDefaults()
	for i := range s.Bake {
		if s.Bake[i].RampMax.Given() {
			def(&s.Bake[i].RampOver, 10*measure.Minute) // below that a reading's last digit looks like a rise
		}
	}
	for i := range s.Quiver {
		def(&s.Quiver[i].OnDip, DipOpens)
	}
	for i := range s.ShelfLife {
		def(&s.ShelfLife[i].From, FromMade)
	}
	for i := range s.WarmUp {
		def(&s.WarmUp[i].Cold, ColdRefused)
	}
	for _, r := range s.rows() {
		def(&r.about().Authority, Code)
	}
}

func def[T comparable](p *T, v T) {
	var zero T
	if *p == zero {
		*p = v
	}
}
