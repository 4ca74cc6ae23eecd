package main

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"ovenward/cmd/internal/app"
	"ovenward/cmd/internal/show"
	"ovenward/forecast/joint"
	"ovenward/forecast/metal"
	"ovenward/forecast/plan"
	"ovenward/inventory/measure"
)

// planAnswer is a plan for a program: a file that was checked, or a revision.
type planAnswer struct {
	File        string              `json:"file"`
	Revision    int64               `json:"revision,omitempty"`
	Loaded      measure.Instant     `json:"loaded_us,omitempty"`
	By          string              `json:"by,omitempty"`
	Repeated    bool                `json:"repeated,omitempty"` // the file was the plan already; nothing was written
	DryRun      bool                `json:"dry_run,omitempty"`  // nothing was written
	RowsRead    int                 `json:"rows_read"`
	RowsNotRead int                 `json:"rows_not_read"`
	Done        int                 `json:"joints_done,omitempty"` // rows of joints that are welded and not planned
	Change      *changeAnswer       `json:"change,omitempty"`
	Joints      []jointAnswer       `json:"joints"`
	NotComputed []notComputedAnswer `json:"not_computed"`
	Problems    []problemAnswer     `json:"problems"`
	Warnings    []string            `json:"warnings"`
}

// changeAnswer is what a load changed of the plan before it.
type changeAnswer struct {
	Before  int64 `json:"before"` // its revision
	New     int   `json:"new"`
	Changed int   `json:"changed"`
	Gone    int   `json:"gone"`
	Planned int64 `json:"planned"` // joints that the plan has now
}

// setChange says what a load changed, where there was a plan before it.
func (a *planAnswer) setChange(p app.Planned) {
	if c := p.Change; c.Before > 0 {
		a.Change = &changeAnswer{Before: c.Before, New: c.New, Changed: c.Changed, Gone: c.Gone, Planned: p.Revision.Joints}
	}
}

// changeWords says it in one line.
func (a *planAnswer) changeWords() string {
	if a.Change == nil {
		return ""
	}
	return fmt.Sprintf("against revision %d: %d new, %d changed, %d gone; the plan has %s", a.Change.Before, a.Change.New,
		a.Change.Changed, a.Change.Gone, counted(int(a.Change.Planned), "joint", "joints"))
}

// jointAnswer is one line of a plan. Volume, metal and items are those of all
// its equal welds; the area is that of a cross section.
type jointAnswer struct {
	Job      string       `json:"job"`
	Joint    string       `json:"joint"`
	Week     string       `json:"week"`
	Prep     string       `json:"prep"`
	Quantity int64        `json:"quantity"`
	Position string       `json:"position,omitempty"`
	Factor   float64      `json:"position_factor,omitempty"` // on the metal of its groove; left out where none counts
	Area     float64      `json:"area_mm2"`
	Volume   float64      `json:"volume_mm3"`
	Metal    float64      `json:"metal_g"`
	Low      *limitAnswer `json:"low,omitempty"` // at the limits of fit-up, where the preparation has them
	High     *limitAnswer `json:"high,omitempty"`
	Differs  []string     `json:"differs,omitempty"` // from the preparation that the joint names
	Layers   int          `json:"layers,omitempty"`  // of one weld, estimated; left out where it has none
	Items    []itemAnswer `json:"items"`
	lie      metal.Factor
}

// limitAnswer is a joint at a limit of its fit-up.
type limitAnswer struct {
	Area   float64 `json:"area_mm2"`
	Volume float64 `json:"volume_mm3"`
	Metal  float64 `json:"metal_g"`
}

func newLimit(l *app.Limit) *limitAnswer {
	if l == nil {
		return nil
	}
	return &limitAnswer{Area: rounded(float64(l.Area)), Volume: rounded(float64(l.Volume)), Metal: rounded(l.Deposited.Grams())}
}

type itemAnswer struct {
	Class     string  `json:"class"`
	Diameter  float64 `json:"diameter_mm"`
	Pieces    float64 `json:"pieces"`                // zero for wire and flux, which are bought by mass
	Purchased float64 `json:"purchased_g,omitempty"` // left out where a rod's mass is not known
	Beads     int64   `json:"beads,omitempty"`       // of one weld, estimated; left out where a bead is not known
	name      string
	byMass    bool
}

// notComputedAnswer is a line of a plan that is in no number.
type notComputedAnswer struct {
	Job    string       `json:"job"`
	Joint  string       `json:"joint"`
	Week   string       `json:"week"`
	Reason joint.Reason `json:"reason"`
	Column string       `json:"column"`
	Value  string       `json:"value,omitempty"`
	Why    string       `json:"why"`
	Write  string       `json:"write"`
	text   string
}

// problemAnswer is a cell that could not be read.
type problemAnswer struct {
	Row    int    `json:"row"`
	Column string `json:"column"`
	Value  string `json:"value"`
	Why    string `json:"why"`
	Write  string `json:"write"`
	text   string
}

// newPlanAnswer returns a plan without its joints' metal.
func newPlanAnswer(p app.Planned) planAnswer {
	r := p.Revision
	ans := planAnswer{File: r.Name, Revision: r.Number, Loaded: r.Loaded, By: r.By, RowsRead: len(p.Plan.Joints),
		RowsNotRead: app.UnreadRows(p.Plan), Done: len(p.Plan.Done), Joints: []jointAnswer{}, NotComputed: []notComputedAnswer{},
		Problems: problemAnswers(p.Plan.Problems), Warnings: append([]string{}, slices.Concat(p.Plan.Warnings, plan.Misplaced(p.Plan.Joints))...)}
	return ans
}

func problemAnswers(problems []plan.Problem) []problemAnswer {
	list := make([]problemAnswer, len(problems))
	for i, p := range problems {
		list[i] = problemAnswer{Row: p.Row, Column: p.Column, Value: p.Value, Why: p.Reason, Write: p.Write,
			text: p.Error()}
	}
	return list
}

// add puts a line of the plan with the joints or with what is not computed.
func (a *planAnswer) add(j joint.Joint, m app.JointMetal) {
	if m.Err != nil {
		a.NotComputed = append(a.NotComputed, newNotComputed(j, m.Err))
		return
	}
	ans := jointAnswer{Job: j.Job, Joint: j.ID, Week: j.Week.String(), Prep: string(j.Preparation), Quantity: j.Quantity,
		Position: string(j.Position), Factor: rounded(m.Lie.Value), lie: m.Lie,
		Area: rounded(float64(m.Weld.Section.Area())), Volume: rounded(float64(m.Volume)),
		Metal: rounded(m.Deposited.Grams()), Layers: m.Layers,
		Low: newLimit(m.Low), High: newLimit(m.High)}
	for _, d := range m.Differs {
		ans.Differs = append(ans.Differs, d.String())
	}
	for _, n := range m.Items {
		item := itemAnswer{Class: n.Item.Class, Diameter: n.Item.Diameter.Millimetres(), Pieces: rounded(n.Pieces),
			Purchased: rounded(n.Purchased.Grams()), Beads: n.Beads, name: n.Item.String(), byMass: n.ByMass}
		if n.ByMass {
			item.Pieces = 0
		}
		ans.Items = append(ans.Items, item)
	}
	a.Joints = append(a.Joints, ans)
}

func newNotComputed(j joint.Joint, e *joint.UncomputedError) notComputedAnswer {
	return notComputedAnswer{Job: j.Job, Joint: j.ID, Week: j.Week.String(), Reason: e.Reason, Column: e.Field,
		Value: e.Value, Why: e.Why, Write: e.Write, text: fmt.Sprintf("%s %s, %s: %v", j.Job, j.ID, j.Week, e)}
}

// rounded cuts what floating arithmetic leaves behind the fourth decimal.
func rounded(x float64) float64 { return math.Round(x*1e4) / 1e4 }

// sort puts the joints in the order of their weeks, jobs and names.
func (a *planAnswer) sort() {
	slices.SortStableFunc(a.Joints, func(x, y jointAnswer) int {
		return cmp.Or(cmp.Compare(x.Week, y.Week), cmp.Compare(x.Job, y.Job), cmp.Compare(x.Joint, y.Joint))
	})
}

// table lists the joints with one line for each item that they take.
func (a *planAnswer) table(title string, units measure.UnitSystem) show.Table {
	_, unit := heavy(0, units)
	t := show.Table{Title: title, Head: []string{"week", "job", "joint", "prep", "no.", "layers", "item", "beads", "rods", unit},
		Right: []int{4, 5, 7, 8, 9}, Empty: "No joint of it can be computed."}
	for _, j := range a.Joints {
		for _, i := range j.Items {
			mass, _ := heavy(metalMass(i.Purchased), units)
			t.Add(j.Week, j.Job, j.Joint, j.Prep, fmt.Sprint(j.Quantity), estimate(int64(j.Layers)),
				i.name, estimate(i.Beads), i.rods(), mass)
		}
	}
	return t
}

// rods prints the rods of an item; nothing for what is bought by mass.
func (i itemAnswer) rods() string {
	if i.byMass {
		return ""
	}
	return fmt.Sprintf("%.1f", i.Pieces)
}

// estimate prints an estimate, nothing where there is none.
func estimate(n int64) string {
	if n == 0 {
		return ""
	}
	return fmt.Sprint(n)
}

func metalMass(grams float64) measure.Mass { return measure.Mass(grams * float64(measure.Gram)) }

// heavy prints a mass that is bought, in the site's unit, without it.
func heavy(m measure.Mass, units measure.UnitSystem) (number, unit string) {
	value := m.Kilograms()
	unit = "kg"
	if units == measure.US {
		value, unit = m.Pounds(), "lb"
	}
	if m == 0 {
		return "", unit
	}
	return fmt.Sprintf("%.2f", value), unit
}

// sayNamed says of joints that name a preparation what they give otherwise, and
// what the limits of its fit-up take.
func (a *planAnswer) sayNamed(p *show.Printer, units measure.UnitSystem) error {
	var differs, limits, lies []string
	for _, j := range a.Joints {
		name := fmt.Sprintf("%s %s, %s", j.Job, j.Joint, j.Prep)
		for _, d := range j.Differs {
			differs = append(differs, name+": "+d)
		}
		if j.Factor > 0 {
			lies = append(lies, fmt.Sprintf("%s: position %s takes %s of the groove as drawn", name, j.Position, j.lie))
		}
		if j.Low != nil && j.High != nil {
			low, unit := heavy(metalMass(j.Low.Metal), units)
			high, _ := heavy(metalMass(j.High.Metal), units)
			drawn, _ := heavy(metalMass(j.Metal), units)
			limits = append(limits, fmt.Sprintf("%s: %s to %s %s of weld metal, %s as drawn", name, low, high, unit, drawn))
		}
	}
	if err := section(p, "OTHER SIZES than the preparation that the joint names; the joint's own count", differs); err != nil {
		return err
	}
	if err := section(p, "BY POSITION, of covered electrodes: what a catalogue's table takes beside its geometry", lies); err != nil {
		return err
	}
	return section(p, "AT THE LIMITS OF FIT-UP", limits)
}

// sayMissing lists what is in no number, in sentences.
func (a *planAnswer) sayMissing(p *show.Printer) error {
	var lines []string
	for _, n := range a.NotComputed {
		lines = append(lines, n.text)
	}
	heading := counted(len(lines), "joint cannot be computed and is in no number",
		"joints cannot be computed and are in no number")
	if err := section(p, heading, lines); err != nil {
		return err
	}
	lines = nil
	for _, b := range a.Problems {
		lines = append(lines, b.text)
	}
	return section(p, counted(a.RowsNotRead, "row cannot be read and is in no number",
		"rows cannot be read and are in no number"), lines)
}
