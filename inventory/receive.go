package inventory

import (
	"errors"
	"fmt"
	"strings"

	"ovenward/inventory/designation"
	"ovenward/inventory/measure"
)

// Stock reads what a receipt describes: the lot and the bundle. Every figure
// is checked; the error is a *Refusal that names the field.
func (e *Received) Stock() (Lot, Bundle, error) {
	r := receipt{entry: e}
	lot, b := r.lot(), r.bundle()
	r.amount(&lot, &b)
	return lot, b, r.err
}

// receipt reads field by field and keeps the first refusal.
type receipt struct {
	entry *Received
	err   error
}

func (r *receipt) refuse(code Code, field, value, why, next string) {
	if r.err == nil {
		r.err = &Refusal{Code: code, Subject: field, Value: value, Why: why, Next: next}
	}
}

// keep turns the error of a parser into a refusal of the field.
func (r *receipt) keep(field string, err error) {
	if err != nil && r.err == nil {
		r.err = FieldRefusal(field, err)
	}
}

// FieldRefusal returns a refusal of one field for an error that its parser
// gave. Refusals come back as they are, with the field named.
func FieldRefusal(field string, err error) error {
	if ref, ok := errors.AsType[*Refusal](err); ok {
		c := *ref
		if c.Subject == "" || c.Subject == c.Value {
			c.Subject = field
		}
		return &c
	}
	if u, ok := errors.AsType[*measure.UnitError](err); ok {
		return &Refusal{Code: Unit, Subject: field, Value: u.Value, Why: fmt.Sprintf("%q: %s", u.Value, u.Why), Next: "write " + u.Write}
	}
	return &Refusal{Code: Unknown, Subject: field, Why: err.Error(), Next: "correct the " + field + " and enter it again"}
}

func (r *receipt) lot() Lot {
	e := r.entry
	if e.Lot == "" {
		r.refuse(Unknown, "lot", "", "the lot has no number", "enter the lot or heat number from the label; stock without one is not received")
	}
	mark, err := designation.Parse(e.Class, designation.Spec(e.Spec))
	r.keep("class", err)
	lot := Lot{Code: e.Lot, Mark: mark, Size: e.Diameter, Maker: e.Maker, Product: e.Product, Status: Awaiting,
		Certificate: e.Certificate, CertificateKind: e.CertificateKind,
		Owner: strings.TrimSpace(e.Owner), LotClass: e.LotClass, Schedule: e.Schedule}
	lot.Diameter = r.length("diameter", e.Diameter)
	lot.Length = r.length("length", e.Length)
	lot.Made, lot.Expires = r.date("made", e.Made), r.date("expires", e.Expires)
	if e.Price != "" {
		_, err := ParsePrice(e.Price)
		r.keep("price", err)
	}
	r.standing(&lot)
	if lot.Made != "" && lot.Expires != "" && lot.Expires < lot.Made {
		r.refuse(Unit, "expires", e.Expires, "expires before it was made on "+e.Made, "read both dates off the label again")
	}
	return lot
}

// standing says whether the lot waits for QA, is held as found at the first
// stock-take, or is practice stock.
func (r *receipt) standing(l *Lot) {
	e := r.entry
	switch {
	case e.Use != "" && e.Use != Practice:
		r.refuse(Unknown, "use", e.Use, "unknown use "+quote(e.Use), "write practice, or leave it out")
	case e.Use == Practice:
		l.Status, l.Reason = PracticeStock, "practice stock, under no exposure control"
	case e.Existing:
		l.Status, l.Reason = Held, ExistingStock
	}
}

func (r *receipt) length(field, text string) measure.Length {
	if text == "" {
		return 0
	}
	l, err := measure.ParseLength(text)
	r.keep(field, err)
	if err == nil && l <= 0 {
		r.refuse(Unit, field, text, "not more than zero", "measure again")
	}
	return l
}

func (r *receipt) date(field, text string) measure.Date {
	if text == "" {
		return ""
	}
	d, err := measure.ParseDate(text)
	r.keep(field, err)
	return d
}

func (r *receipt) bundle() Bundle {
	e := r.entry
	p, err := ParsePackage(e.Package)
	r.keep("package", err)
	seal := Seal(e.Seal)
	switch {
	case seal == "" && p == Loose:
		seal = Broken
	case seal == "":
		seal = Intact
	case seal == Intact && p == Loose:
		r.refuse(Unknown, "seal", e.Seal, "loose rods have no seal", "write broken, or name the package")
	}
	if seal != Intact && seal != Broken {
		r.refuse(Unknown, "seal", e.Seal, "unknown state of a seal "+quote(e.Seal), "write intact or broken")
	}
	return Bundle{Code: e.Bundle, Lot: e.Lot, Package: p, Tight: p.Tight() && seal == Intact, Sealed: seal == Intact}
}

// amount reads how much came: pieces of rods, a mass of wire and flux.
func (r *receipt) amount(l *Lot, b *Bundle) {
	e := r.entry
	if !l.Counted() {
		mass, err := measure.ParseMass(e.Mass)
		r.keep("mass", err)
		if err == nil && mass <= 0 {
			r.refuse(Unit, "mass", e.Mass, "not more than zero", "weigh it")
		}
		if e.Pieces != 0 {
			r.refuse(Unit, "pieces", fmt.Sprint(e.Pieces), "wire and flux are weighed", "give a mass such as 15 kg")
		}
		b.Mass = mass
		return
	}
	if e.Pieces <= 0 {
		r.refuse(Unit, "pieces", fmt.Sprint(e.Pieces), "no rods in it", "give the number of rods in the package")
	}
	if l.Diameter == 0 {
		r.refuse(Unit, "diameter", e.Diameter, "rods have a diameter", "write it with its unit, such as 1/8 in or 3.2 mm")
	}
	b.Pieces = int64(e.Pieces)
	if e.Net != "" {
		net, err := measure.ParseMass(e.Net)
		r.keep("net", err)
		if err == nil && e.Pieces > 0 {
			l.Piece = net / measure.Mass(e.Pieces)
		}
	}
}
