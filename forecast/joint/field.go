package joint

// Field is one of the sizes of a joint.
type Field int

// The sizes, in the order of a plan's columns.
const (
	thickness Field = iota
	opening
	rootFace
	depth
	depth2
	radius
	leg
	leg2
	capHeight
	capWidth
	rootHeight
	rootWidth
	meltIn
	gouge
	gougeEnd
	width
	diameter
	diameter2
	fill
	length
	outside
	wall
	fields
)

// String returns the name of the size's column.
func (f Field) String() string {
	return [...]string{"thickness", "opening", "root_face", "depth", "depth2", "radius", "leg", "leg2",
		"cap_height", "cap_width", "root_height", "root_width", "melt_in", "gouge", "gouge_radius",
		"width", "diameter", "diameter2", "fill", "length", "od", "wall"}[f]
}

// hint says what to write in the column.
func (f Field) hint() string {
	return [...]string{
		"the plate, such as 1/2 in or 12 mm",
		"the root opening, such as 1/8 in or 3 mm; 0 mm if the edges touch",
		"the root face, such as 1/16 in; 0 mm for a feather edge",
		"the depth of the near side's groove, such as 5/8 in",
		"the depth of the far side's groove, such as 3/8 in",
		"the radius, such as 1/4 in or 6 mm",
		"the leg, such as 1/4 in or 6 mm",
		"the second leg, or nothing if both are equal",
		"the height of the reinforcement, such as 1/16 in or 2 mm",
		"the width of the cap, or nothing for the groove's own",
		"the height of the far side's reinforcement, such as 1/16 in or 2 mm",
		"the width of the far side's reinforcement, or nothing for its own",
		"how deep the weld melts into the backing, such as 1 mm",
		"how deep the far side is gouged, such as 1/4 in or 6 mm",
		"the radius of the gouge, or nothing for the usual one",
		"the width, such as 3/4 in or 20 mm",
		"the diameter of the hole, such as 3/4 in",
		"the diameter of the countersunk hole at its top, or nothing if it is straight",
		"how high the weld fills, such as 1/2 in",
		"the length of the weld, or od and wall for a pipe",
		"the outside diameter, such as 168.3 mm, not the nominal pipe size",
		"the wall of the pipe, such as 7.11 mm",
	}[f]
}

// At returns a size by its field.
func (s *Sizes) At(f Field) *Size {
	switch f {
	case thickness:
		return &s.Thickness
	case opening:
		return &s.Opening
	case rootFace:
		return &s.RootFace
	case depth:
		return &s.Depth
	case depth2:
		return &s.Depth2
	case radius:
		return &s.Radius
	case leg:
		return &s.Leg
	case leg2:
		return &s.Leg2
	case capHeight:
		return &s.CapHeight
	case capWidth:
		return &s.CapWidth
	case rootHeight:
		return &s.RootHeight
	case rootWidth:
		return &s.RootWidth
	case meltIn:
		return &s.MeltIn
	case gouge:
		return &s.Gouge
	case gougeEnd:
		return &s.GougeEnd
	case width:
		return &s.Width
	case diameter:
		return &s.Diameter
	case diameter2:
		return &s.Diameter2
	case fill:
		return &s.Fill
	case length:
		return &s.Length
	case outside:
		return &s.Outside
	default:
		return &s.Wall
	}
}

// Fields returns all sizes, in the order of a plan's columns.
func Fields() []Field {
	all := make([]Field, fields)
	for f := range fields {
		all[f] = f
	}
	return all
}

// FieldOf returns the size that a plan's column of a name holds; false where it
// holds none.
func FieldOf(column string) (Field, bool) {
	for f := range fields {
		if f.String() == column {
			return f, true
		}
	}
	return 0, false
}

// Signed reports whether a size may be below zero: the cap of a fillet, which
// may be hollow.
func (f Field) Signed() bool { return f == capHeight }
