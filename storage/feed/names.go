package feed

import "ovenward/inventory/sheet"

// names keeps the sensors' names, so that a million rows share a few strings.
type names struct {
	known map[string]string
	last  string
}

func (n *names) of(b []byte) string {
	if string(b) == n.last {
		return n.last
	}
	name, ok := n.known[string(b)]
	if !ok {
		name = sheet.Text(b)
		n.keep(string(b), name)
	}
	if name == string(b) {
		n.last = name
	}
	return name
}

func (n *names) keep(raw, name string) {
	const most = 10_000 // a column of that many is not one of sensors
	if n.known == nil {
		n.known = map[string]string{}
	}
	if len(n.known) < most {
		n.known[raw] = name
	}
}
