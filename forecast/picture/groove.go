package picture

import (
	"fmt"
	"strings"

	"ovenward/forecast/joint"
	"ovenward/forecast/metal"
)

// Groove is a joint's preparation with the layers and beads that are estimated.
type Groove struct {
	Title   string
	Says    []string // sizes and rods, a line each
	Section joint.Section
	Backing bool
	Layers  []metal.Layer
	Rods    []string // of the passes, in order
}

// Beads counts the beads of all layers.
func (g Groove) Beads() int64 {
	var n int64
	for _, l := range g.Layers {
		n += l.Beads
	}
	return n
}

// sides returns where a layer's walls are at its middle.
func (g Groove) sides(l metal.Layer) (left, right float64) {
	return g.Section.Sides((l.From + l.To) / 2)
}

// numbered returns the layers from the far face up, each with the number of its
// first bead in the order of welding.
func (g Groove) numbered() (fromBelow []metal.Layer, first []int64) {
	next := int64(1)
	starts := make([]int64, len(g.Layers))
	for i, l := range g.Layers {
		starts[i] = next
		next += l.Beads
	}
	for i := len(g.Layers) - 1; i >= 0; i-- { // the second side lies below, its last layer lowest
		if g.Layers[i].To < g.Layers[i].From {
			fromBelow, first = append(fromBelow, g.Layers[i]), append(first, starts[i])
		}
	}
	for i, l := range g.Layers {
		if l.To >= l.From {
			fromBelow, first = append(fromBelow, l), append(first, starts[i])
		}
	}
	return fromBelow, first
}

// Text draws the groove a line a layer, the near face on top, every bead with its
// number in the order of welding.
func (g Groove) Text() string {
	var b strings.Builder
	b.WriteString(g.Title + "\n")
	for _, s := range g.Says {
		b.WriteString("  " + s + "\n")
	}
	layers, first := g.numbered()
	if len(layers) == 0 {
		return b.String()
	}
	b.WriteByte('\n')
	rows, base, wide := g.rows(layers, first)
	for i := len(rows) - 1; i >= 0; i-- {
		l := layers[i]
		fmt.Fprintf(&b, "  %-*s  %s of %s\n", wide, rows[i], counted(l.Beads), g.Rods[l.Pass])
	}
	if g.Backing {
		b.WriteString("  " + base + "  backing\n")
	}
	return b.String()
}

func counted(n int64) string {
	if n == 1 {
		return "1 bead "
	}
	return fmt.Sprintf("%d beads", n)
}

// rows draws each layer so wide that its beads can be numbered, in proportion to
// the others, and the backing below.
func (g Groove) rows(layers []metal.Layer, first []int64) (rows []string, base string, wide int) {
	scale, leftmost := 0.0, 0.0
	for i, l := range layers {
		left, right := g.sides(l)
		need := float64(len(numbers(l, first[i])) + 2)
		scale, leftmost = max(scale, need/max(right-left, 0.1)), min(leftmost, left)
	}
	scale = min(scale, 110/max(0.1, g.Section.Face.Millimetres())) // a page wide at most
	place := func(x float64) int { return int((x-leftmost)*scale + 0.5) }
	rows = make([]string, len(layers))
	for i, l := range layers {
		left, right := g.sides(l)
		inner := numbers(l, first[i])
		room := max(place(right)-place(left), len(inner)+1)
		pad := room - len(inner)
		rows[i] = strings.Repeat(" ", place(left)) + g.wall(l, true) + strings.Repeat(" ", pad/2) + inner +
			strings.Repeat(" ", pad-pad/2) + g.wall(l, false)
		wide = max(wide, len(rows[i]))
	}
	left, right := g.Section.Sides(0)
	base = fmt.Sprintf("%-*s", wide, strings.Repeat(" ", max(0, place(left)-2))+strings.Repeat("=", place(right)-place(left)+6))
	return rows, base, wide
}

// numbers are those of a layer's beads.
func numbers(l metal.Layer, first int64) string {
	all := make([]string, l.Beads)
	for i := range all {
		all[i] = fmt.Sprint(first + int64(i))
	}
	return strings.Join(all, " ")
}

// wall is how a wall leans beside a layer.
func (g Groove) wall(l metal.Layer, left bool) string {
	low, high := min(l.From, l.To), max(l.From, l.To)
	a1, b1 := g.Section.Sides(low)
	a2, b2 := g.Section.Sides(high)
	below, above := b1, b2
	if left {
		below, above = -a1, -a2
	}
	opens := above - below
	switch {
	case opens > 0.05 && left, opens < -0.05 && !left:
		return `\`
	case opens > 0.05, opens < -0.05:
		return "/"
	}
	return "|"
}
