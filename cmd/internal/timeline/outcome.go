package timeline

import (
	"encoding/json"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"ovenward/inventory"
)

// Outcome is what one line came to.
type Outcome struct {
	Line    int
	Subject map[string]string // what the line names: "bundle", "slip" ..., or "do" for a refused fact
	Wanted  map[string]string // by field
	Actual  map[string]string // every field that the line could ask for
	Wrong   []string          // fields that differ
}

// Held reports whether everything came out as wanted.
func (o Outcome) Held() bool { return len(o.Wrong) == 0 }

// refusal is the outcome of a line whose fact was refused, or had to be; a nil
// refusal is none.
func (l Line) refusal(ref *inventory.Refusal, subject map[string]string) Outcome {
	o := Outcome{Line: l.Number, Subject: subject, Wanted: map[string]string{"refused": none},
		Actual: map[string]string{"refused": none}}
	if l.Head.Refused != "" {
		o.Wanted["refused"] = l.Head.Refused
	}
	if ref != nil {
		o.Actual["refused"], o.Actual["why"], o.Actual["next"] = string(ref.Code), ref.Why, ref.Next
	}
	return o
}

// note compares what was wanted with what came out.
func (r *replay) note(o Outcome) {
	for _, name := range fieldOrder {
		want, ok := o.Wanted[name]
		if ok && !agree(name, o.Actual[name], want) {
			o.Wrong = append(o.Wrong, name)
		}
	}
	if o.Held() {
		r.out.Held++
	} else {
		r.out.Failed++
	}
	r.out.Outcomes = append(r.out.Outcomes, o)
}

// agree compares a value with the wanted one. A line may ask whether a slip is
// overdue, instead of since when, and for a part of what is said.
func agree(name, actual, want string) bool {
	if name == says {
		return strings.Contains(actual, want)
	}
	if name == "overdue" && actual != "" && (want == "true" || want == "false") {
		return (actual != none) == (want == "true")
	}
	return actual == want
}

// subjects are the fields that name what a line is about, in the order shown.
var subjects = append([]string{"do"}, names...)

// String prints an outcome with the values that differ, both of them.
func (o Outcome) String() string {
	var b strings.Builder
	fmt.Fprintf(&b, "line %d,", o.Line)
	for _, name := range subjects {
		if v := o.Subject[name]; v != "" {
			fmt.Fprintf(&b, " %s %s", name, v)
		}
	}
	for i, name := range o.Wrong {
		actual := o.Actual[name]
		if actual == "" {
			actual = "not known of it"
		}
		fmt.Fprintf(&b, "%c %s is %s, expected %s", ":;"[min(i, 1)], name, actual, o.Wanted[name])
	}
	if why := o.Actual["why"]; why != "" {
		fmt.Fprintf(&b, " (%s)", why)
	}
	return b.String()
}

// MarshalJSON gives the line, what it names, and every field that it could ask
// for with its actual value; a time that is not in sight is null.
func (o Outcome) MarshalJSON() ([]byte, error) {
	out := map[string]any{"line": o.Line, "held": o.Held()}
	for name, v := range o.Subject {
		out[name] = v
	}
	for name, v := range o.Actual {
		if name != says { // it is the reason, which is there
			out[name] = value(name, v)
		}
	}
	if !o.Held() {
		wanted := map[string]any{}
		for name, v := range o.Wanted {
			wanted[name] = value(name, v)
		}
		out["wanted"] = wanted
	}
	return json.Marshal(out)
}

func value(name, v string) any {
	switch {
	case v == none && slices.Contains(fieldOrder, name):
		return nil
	case name == "closed":
		return v == "true"
	case slices.Contains([]string{"pieces", "bakes", "joints", "slips", "unaccounted"}, name):
		if n, err := strconv.ParseInt(v, 10, 64); err == nil {
			return n
		}
	}
	return v
}
