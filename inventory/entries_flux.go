package inventory

import "ovenward/inventory/measure"

// Reclaimed is unmelted flux that was taken up again, out of a hopper or from
// around the weld: a bundle of its own, marked as recycled.
type Reclaimed struct {
	Bundle string `json:"bundle"` // or the slip that it is out on
	Mass   string `json:"mass"`
	Into   string `json:"into,omitempty"` // the store where left out
	As     string `json:"as,omitempty"`

	Act
}

// Kind implements Entry.
func (*Reclaimed) Kind() string { return "reclaim" }

// Blended makes one new lot, and one bundle of it, of flux of several bundles.
type Blended struct {
	Inputs []BlendInput `json:"inputs"`
	Lot    string       `json:"lot,omitempty"` // of the blend; named as its bundle where left out
	Into   string       `json:"into,omitempty"`
	As     string       `json:"as,omitempty"`
	Judged *BlendJudged `json:"judged,omitempty"`

	Act
}

// BlendInput is flux that goes into a blend.
type BlendInput struct {
	Bundle string `json:"bundle"`
	Mass   string `json:"mass,omitempty"` // all of it where left out
}

// BlendJudged is what a blend was judged by when it was made.
type BlendJudged struct {
	Rules   string `json:"rules"`
	Edition string `json:"edition"`
	Digest  string `json:"digest"`
	Rows    string `json:"rows"` // those that it keeps
	New     string `json:"new"`  // "29.4 %"
}

// Kind implements Entry.
func (*Blended) Kind() string { return "blend" }

// Bundles returns the inputs' names.
func (e *Blended) Bundles() []string {
	codes := make([]string, len(e.Inputs))
	for i, in := range e.Inputs {
		codes[i] = in.Bundle
	}
	return codes
}

// Amount reads how much of a bundle goes into a blend. The error is a *Refusal.
func (in BlendInput) Amount(b Bundle) (measure.Mass, error) {
	if in.Mass == "" {
		return b.Mass, nil
	}
	m, err := measure.ParseMass(in.Mass)
	if err != nil {
		return 0, FieldRefusal("mass", err)
	}
	if m.Near(b.Mass) {
		return b.Mass, nil
	}
	if m <= 0 || m > b.Mass {
		return 0, &Refusal{Code: NotEnough, Subject: b.Code, Value: in.Mass, Limit: b.Mass.String(),
			Why: b.Mass.String() + " is in " + b.Code + ", " + in.Mass + " asked for", Next: "weigh again, or take what is there"}
	}
	return m, nil
}

// Blend returns the lot that a blend of lots makes. Nothing of it is better than
// the worst of them: the oldest day of making, the first day of expiry. Crushed
// slag is tested batch by batch, so that a blend of it waits for QA.
func Blend(code string, of []Lot) Lot {
	l := of[0]
	l.Code, l.Status, l.Reason, l.Certificate, l.CertificateKind = code, Released, "", "", ""
	l.Extended, l.Extension = "", ""
	if l.CrushedSlag() {
		l.Status = Awaiting
	}
	for _, o := range of[1:] {
		l.Made, l.Expires = sooner(l.Made, o.Made), sooner(l.Expires, o.Expires)
		if l.Maker != o.Maker {
			l.Maker = ""
		}
		if l.Size != o.Size {
			l.Size, l.Diameter = "", 0
		}
	}
	return l
}

// sooner returns the earlier of two dates; an empty one is not known.
func sooner(a, b measure.Date) measure.Date {
	if a == "" || (b != "" && b < a) {
		return b
	}
	return a
}
