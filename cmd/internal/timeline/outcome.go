package timeline

import (
	"encoding/json"
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// subjects are the fields that name what a line is about, in the order shown.
var subjects = []string{"do", "alert", "slip", "bundle", "place"}

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
		fmt.Fprintf(&b, "%c %s is %s, expected %s", ":;"[min(i, 1)], name, o.Actual[name], o.Wanted[name])
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
		out[name] = value(name, v)
	}
	if len(o.Wrong) > 0 {
		out["wanted"] = o.Wanted
	}
	return json.Marshal(out)
}

func value(name, v string) any {
	switch {
	case v == none && slices.Contains(instants, name):
		return nil
	case name == "pieces" || name == "bakes":
		if n, err := strconv.ParseInt(v, 10, 64); err == nil {
			return n
		}
	}
	return v
}
