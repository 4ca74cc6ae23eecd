package metal

import (
	"cmp"
	"maps"
	"slices"

	"ovenward/forecast/joint"
	"ovenward/inventory/measure"
)

// key finds rows. A row of a table that does not depend on the class or on the
// diameter has none.
type key struct {
	class    string
	diameter measure.Length
}

// String prints the key for a row's label.
func (k key) String() string {
	switch {
	case k.class == "":
		return joint.SizeText(k.diameter)
	case k.diameter == 0:
		return k.class
	}
	return joint.Item{Class: k.class, Diameter: k.diameter}.String()
}

// figure is a table's value with the row it came from.
type figure[T any] struct {
	value T
	row   Row
}

type rodSize struct{ core, length, stub measure.Length }

type bead struct {
	area   joint.Area
	runOut measure.Length
}

// over lays one table over another. A row of the upper one replaces those that
// are the same item to a storekeeper: 3.2 mm replaces 1/8 in.
func over[T any](under, above map[key]figure[T]) map[key]figure[T] {
	all := maps.Clone(under)
	for k := range above {
		maps.DeleteFunc(all, func(o key, _ figure[T]) bool { return o.same(k) })
	}
	maps.Copy(all, above)
	return all
}

func (k key) same(o key) bool { return k.class == o.class && k.diameter.Near(o.diameter) }

// keysOf returns the keys of a table in the order of class and diameter.
func keysOf[T any](table map[key]figure[T]) []key {
	return slices.SortedFunc(maps.Keys(table), func(a, b key) int {
		return cmp.Or(cmp.Compare(a.class, b.class), cmp.Compare(a.diameter, b.diameter))
	})
}

// take puts a table's value where it belongs and its row on the list.
func take[T any](table map[key]figure[T], classes []string, d measure.Length, rows *[]Row, into *T) bool {
	f, _, ok := find(table, classes, d)
	if ok {
		*into = f.value
		*rows = append(*rows, f.row)
	}
	return ok
}

// find looks for one class after the other, each at the nearest diameter that
// is the same to a storekeeper.
func find[T any](table map[key]figure[T], classes []string, d measure.Length) (figure[T], measure.Length, bool) {
	for _, c := range classes {
		if k, ok := nearest(table, key{c, d}); ok {
			return table[k], k.diameter, true
		}
	}
	return figure[T]{}, 0, false
}

func nearest[T any](table map[key]figure[T], wanted key) (best key, found bool) {
	for k := range table {
		if k.same(wanted) && (!found || closer(k.diameter, best.diameter, wanted.diameter)) {
			best, found = k, true
		}
	}
	return best, found
}

// closer reports whether a is closer to d than b, the smaller if both are equal.
func closer(a, b, d measure.Length) bool {
	return cmp.Or(cmp.Compare(gap(a, d), gap(b, d)), cmp.Compare(a, b)) < 0
}

func gap(a, b measure.Length) measure.Length { return max(a-b, b-a) }
