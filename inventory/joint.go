package inventory

import (
	"fmt"
	"slices"
	"strings"

	"ovenward/inventory/designation"
	"ovenward/inventory/measure"
)

// Joint is what a joint asks of its filler, read from what was set up.
type Joint struct {
	JointSet

	marks []designation.Mark
	sizes []measure.Length
	heat  measure.Duration
}

// Read reads every mark, size and time that a joint names. The error is a
// *Refusal that names the field.
func (e *JointSet) Read() (Joint, error) {
	j := Joint{JointSet: *e}
	if j.Joint = strings.TrimSpace(e.Joint); j.Joint == "" {
		return j, &Refusal{Code: Unknown, Subject: "joint", Why: "the joint has no name", Next: "give its number from the drawing or the weld list"}
	}
	for _, c := range e.Classes {
		m, err := designation.Parse(c, "")
		if err != nil {
			return j, FieldRefusal("class", err)
		}
		j.marks = append(j.marks, m)
	}
	for _, d := range e.Diameters {
		l, err := measure.ParseLength(d)
		if err != nil {
			return j, FieldRefusal("diameter", err)
		}
		j.sizes = append(j.sizes, l)
	}
	if e.HeatTime == "" {
		return j, nil
	}
	var err error
	if j.heat, err = measure.ParseDuration(e.HeatTime); err != nil {
		return j, FieldRefusal("heat time", err)
	}
	j.HeatTreated = true
	return j, nil
}

// TakesClass refuses a lot of a class that the joint's procedure does not name.
func (j Joint) TakesClass(l Lot) error {
	allows := func(m designation.Mark) bool { return Satisfies(m, l.Mark) }
	if len(j.marks) == 0 || slices.ContainsFunc(j.marks, allows) {
		return nil
	}
	named := strings.Join(j.Classes, ", ")
	return &Refusal{Code: WrongClass, Subject: j.Joint, Value: l.Mark.Canonical, Limit: named,
		Why:  fmt.Sprintf("%s is %s; joint %s takes %s", l.Code, l.Mark.Canonical, j.Joint, named),
		Rule: j.rule(), Next: "take " + named + "; another class needs the engineer's written acceptance, entered with the joint"}
}

// TakesSize refuses a lot of a diameter that the joint's procedure does not
// name.
func (j Joint) TakesSize(l Lot) error {
	if len(j.sizes) == 0 || slices.ContainsFunc(j.sizes, l.Diameter.Near) {
		return nil
	}
	named := strings.Join(j.Diameters, ", ")
	return &Refusal{Code: WrongSize, Subject: j.Joint, Value: l.Size, Limit: named,
		Why:  fmt.Sprintf("%s is %s; joint %s takes %s", l.Code, l.Size, j.Joint, named),
		Rule: j.rule(), Next: "take the size of the procedure; the diameter can be an essential variable of its qualification"}
}

// TakesWelder refuses a welder who is not on the joint's card.
func (j Joint) TakesWelder(welder string) error {
	if len(j.Welders) == 0 || slices.ContainsFunc(j.Welders, func(w string) bool { return strings.EqualFold(w, welder) }) {
		return nil
	}
	return &Refusal{Code: NotAuthorised, Subject: j.Joint, Value: welder, Limit: strings.Join(j.Welders, ", "),
		Why:  fmt.Sprintf("%s is not on the card of joint %s", welder, j.Joint),
		Rule: j.rule(), Next: "ask the foreman: the card is changed with ovenward joint add, or another welder does the joint"}
}

// rule names where the joint's demand comes from.
func (j Joint) rule() string {
	if j.Procedure == "" {
		return "joint " + j.Joint
	}
	return "procedure " + j.Procedure
}

// Only returns the class and the size where the joint names one of each, so
// that nobody types what the procedure says; empty texts where it does not.
func (j Joint) Only() (class, size string) {
	if len(j.Classes) == 1 {
		class = j.Classes[0]
	}
	if len(j.Diameters) == 1 {
		size = j.Diameters[0]
	}
	return class, size
}
