package plan

import (
	"errors"
	"fmt"
	"regexp"
	"strconv"
	"strings"

	"ovenward/forecast/joint"
	"ovenward/inventory/measure"
	"ovenward/inventory/sheet"
)

// mostJoints bounds a row's quantity.
const mostJoints = 1_000_000

func (d *draft) setJob(c column, cell string) { d.joint.Job = d.name(c, cell) }

func (d *draft) setID(c column, cell string) { d.joint.ID = d.name(c, cell) }

func (d *draft) ignore(column, string) {}

// name keeps a text as it is. One that a spreadsheet would take for a formula
// is refused, so that it does not become one in the next file.
func (d *draft) name(c column, cell string) string {
	if cell[0] == '+' {
		d.problem(c.name, cell, "would be a formula in a spreadsheet", "the text without the sign")
	}
	return cell
}

func (d *draft) setWeek(c column, cell string) {
	if week, known := d.known.weeks[cell]; known {
		d.joint.Week = week
		return
	}
	if week, err := measure.ParseWeek(strings.ToUpper(cell)); err == nil {
		d.joint.Week = week
		remember(d.known.weeks, cell, week)
		return
	}
	text := cell
	if day, ok := sheet.Serial(cell); ok {
		text = day
	}
	text, _, _ = strings.Cut(text, " ") // a day may have its time
	day, err := measure.ParseDate(text)
	if err != nil {
		d.problem(c.name, cell, "neither an ISO week nor a day", "2026-W49 or 2026-12-01")
		return
	}
	d.joint.Week = measure.WeekOf(day)
}

// setDone reads whether the joint is welded, which then leaves the plan.
func (d *draft) setDone(c column, cell string) {
	switch strings.ToLower(cell) {
	case "yes", "y", "x", "done", "complete", "completed", "welded", "finished", "closed", "true", "1":
		d.done = true
	case "no", "n", "-", "open", "planned", "to do", "started", "in progress", "false", "0":
	default:
		if _, err := measure.ParseDate(cell); err != nil {
			d.problem(c.name, cell, "neither yes nor no", "yes or the day where the joint is welded, else no or nothing")
			return
		}
		d.done = true
	}
}

// setPreparation keeps text that has no geometry: the forecast lists the joint.
func (d *draft) setPreparation(c column, cell string) {
	if prep, known := d.known.preps[cell]; known {
		d.joint.Preparation = prep
		return
	}
	text := strings.Join(strings.Fields(strings.NewReplacer("-", " ", "_", " ").Replace(cell)), " ")
	d.joint.Preparation = joint.Preparation(cell)
	for _, p := range joint.Preparations() {
		if strings.EqualFold(string(p), text) {
			d.joint.Preparation = p
		}
	}
	remember(d.known.preps, cell, d.joint.Preparation)
}

// setLength sets the size that the column is named after.
func (d *draft) setLength(c column, cell string) {
	l, ok := d.length(c, cell)
	if !ok {
		return
	}
	if l < 0 && !c.size.Signed() {
		d.problem(c.name, cell, "below zero", "a size, such as 1/4 in or 6 mm")
		return
	}
	*d.joint.Sizes.At(c.size) = joint.Exactly(l)
}

// thousands matches a comma that may separate thousands or decimals.
var thousands = regexp.MustCompile(`^[+-]?\d{1,3}(,\d{3})+(\D|$)`)

// length reads a length with its own unit or with the column's.
func (d *draft) length(c column, cell string) (measure.Length, bool) {
	asked := cell + "\x00" + c.unit
	if l, known := d.known.lengths[asked]; known {
		return l, true
	}
	if thousands.MatchString(cell) {
		d.problem(c.name, cell, "the comma may separate thousands or decimals", "1500 mm or 1.5 mm, without a comma")
		return 0, false
	}
	text := cell
	if last := cell[len(cell)-1]; c.unit != "" && last >= '0' && last <= '9' {
		text += " " + c.unit
	}
	l, err := measure.ParseLength(text)
	if err == nil {
		remember(d.known.lengths, asked, l)
		return l, true
	}
	var bad *measure.UnitError
	if errors.As(err, &bad) {
		d.problem(c.name, cell, bad.Why, bad.Write)
	} else {
		d.problem(c.name, cell, err.Error(), "a length, such as 1/4 in or 6 mm")
	}
	return 0, false
}

// setAngle reads degrees, with or without their unit: shops use no other.
func (d *draft) setAngle(c column, cell string) {
	text := strings.TrimSpace(strings.TrimSuffix(strings.TrimSuffix(strings.ToLower(cell), "deg"), "°"))
	a, err := decimal(text)
	if err != nil || a <= 0 || a >= 180 {
		d.problem(c.name, cell, "not an angle between 0 and 180 degrees", "the included angle, such as 45 or 60 deg")
		return
	}
	if c.name == "angle2" {
		d.joint.Sizes.Angle2 = joint.Angle(a)
		return
	}
	d.joint.Sizes.Angle = joint.Angle(a)
}

// setCapForm reads the form of a reinforcement.
func (d *draft) setCapForm(c column, cell string) {
	switch form := joint.CapForm(strings.ToLower(cell)); form {
	case joint.Parabola, joint.Segment:
		d.joint.Sizes.CapForm = form
	default:
		d.problem(c.name, cell, "no such form of a cap", "parabola or segment")
	}
}

// setPosition reads the welding position.
func (d *draft) setPosition(c column, cell string) {
	p, ok := joint.ParsePosition(cell)
	if !ok {
		d.problem(c.name, cell, "no such welding position", fmt.Sprintf("one of: %v", joint.Positions()))
		return
	}
	d.joint.Position = p
}

// setSide reads from which side a pipe is welded first.
func (d *draft) setSide(c column, cell string) {
	switch strings.ToLower(cell) {
	case "outside":
	case "inside":
		d.joint.Sizes.Inside = true
	default:
		d.problem(c.name, cell, "neither outside nor inside", "the side of the pipe that is welded, outside or inside")
	}
}

// setBacking reads yes, no, or the thickness of the bar.
func (d *draft) setBacking(c column, cell string) {
	switch strings.ToLower(cell) {
	case "yes", "y":
		d.joint.Sizes.Backing = true
	case "no", "n", "none", "-":
	default:
		bar, err := measure.ParseLength(cell)
		if err != nil || bar <= 0 {
			d.problem(c.name, cell, "neither yes, no nor a thickness",
				"yes, no, or the bar's thickness such as 3/8 in")
			return
		}
		d.joint.Sizes.Backing = true
	}
}

func (d *draft) setQuantity(c column, cell string) {
	n, err := strconv.ParseInt(cell, 10, 64)
	if err != nil || n < 1 || n > mostJoints {
		d.problem(c.name, cell, fmt.Sprintf("not a whole number from 1 to %d", mostJoints),
			"how many equal joints, such as 4")
		return
	}
	d.joint.Quantity = n
}

func (d *draft) setItem(c column, cell string) {
	p := &d.passes[c.pass-1]
	p.item, p.Item.Class = true, d.name(c, cell)
}

func (d *draft) setSize(c column, cell string) {
	p := &d.passes[c.pass-1]
	p.size = true
	l, ok := d.length(c, cell)
	if ok && l <= 0 {
		d.problem(c.name, cell, "not above zero", "the diameter of the rods, such as 1/8 in or 3.2 mm")
	}
	p.Item.Diameter = l
}

// setShare reads "35 %", "0.35" or "rest".
func (d *draft) setShare(c column, cell string) {
	p, rest := d.amount(c, cell)
	if rest {
		return
	}
	text, percent := strings.CutSuffix(cell, "%")
	share, err := decimal(strings.TrimSpace(text))
	if percent || c.unit == "%" {
		share /= 100
	}
	if err != nil || share <= 0 || share > 1 {
		d.problem(c.name, cell, "not a share of the weld metal", "35 %, 0.35 or rest")
		return
	}
	p.Share = share
}

// setBeads reads a number of beads or "rest".
func (d *draft) setBeads(c column, cell string) {
	if p, rest := d.amount(c, cell); !rest {
		p.Beads = d.whole(c, cell, "beads")
	}
}

// setLayers reads a number of layers or "rest".
func (d *draft) setLayers(c column, cell string) {
	if p, rest := d.amount(c, cell); !rest {
		p.Layers = d.whole(c, cell, "layers")
	}
}

// whole reads how many beads or layers.
func (d *draft) whole(c column, cell, of string) int64 {
	const most = 10_000
	n, err := strconv.ParseInt(cell, 10, 64)
	if err != nil || n < 1 || n > most {
		d.problem(c.name, cell, fmt.Sprintf("not a whole number of %s from 1 to %d", of, most), "4 or rest")
		return 0
	}
	return n
}

// setFlux reads the flux that goes with a wire.
func (d *draft) setFlux(c column, cell string) {
	d.passes[c.pass-1].Flux, d.passes[c.pass-1].flux = d.name(c, cell), true
}

// setFluxRatio reads how much flux goes with a wire: kilograms for a kilogram.
func (d *draft) setFluxRatio(c column, cell string) {
	ratio, err := decimal(cell)
	if err != nil || ratio <= 0 || ratio > 5 {
		d.problem(c.name, cell, "not a mass of flux over that of wire, above 0 and at most 5", "1.0 for as much flux as wire")
		return
	}
	d.passes[c.pass-1].FluxRatio, d.passes[c.pass-1].ratio = ratio, true
}

// setEfficiency reads which part of a wire becomes weld metal: "87 %" or "0.87".
func (d *draft) setEfficiency(c column, cell string) {
	text, percent := strings.CutSuffix(cell, "%")
	part, err := decimal(strings.TrimSpace(text))
	if percent || c.unit == "%" {
		part /= 100
	}
	if err != nil || part <= 0 || part > 1 {
		d.problem(c.name, cell, "not a part of the wire above 0 and at most 100 %", "87 % or 0.87")
		return
	}
	d.passes[c.pass-1].Efficiency = part
}

// amount returns the pass that a share, beads or layers cell is of, and whether it says
// "rest". A second amount for one item is a problem.
func (d *draft) amount(c column, cell string) (p *pass, rest bool) {
	p = &d.passes[c.pass-1]
	if p.amount {
		d.problem(c.name, cell, "more than one of share, beads and layers for one item", "one of them")
	}
	p.amount = true
	return p, strings.EqualFold(cell, "rest")
}

// decimal reads a plain number with a point or a comma.
func decimal(s string) (float64, error) {
	if strings.Trim(s, "0123456789.,") != "" || strings.Count(s, ".")+strings.Count(s, ",") > 1 {
		return 0, strconv.ErrSyntax
	}
	return strconv.ParseFloat(strings.Replace(s, ",", ".", 1), 64)
}
