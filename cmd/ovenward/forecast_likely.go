package main

import (
	"fmt"
	"math"
	"strings"

	"ovenward/cmd/internal/app"
	"ovenward/cmd/internal/show"
	"ovenward/forecast/demand"
	"ovenward/forecast/joint"
	"ovenward/forecast/metal"
	"ovenward/inventory/measure"
)

// likelyAnswer is a simulation for a program.
type likelyAnswer struct {
	Seed    uint64         `json:"seed"`
	Draws   int            `json:"draws"`
	Late    []float64      `json:"starts_late_by_weeks"`
	Started int            `json:"joints_behind_it"`
	Weeks   []likelyWeek   `json:"weeks"`
	Items   []likelyFactor `json:"items"`
}

// likelyWeek is one item in one week, in pieces.
type likelyWeek struct {
	Week      string  `json:"week"`
	Class     string  `json:"class"`
	Unit      string  `json:"unit,omitempty"` // g where pieces are grams of wire or flux; else rods
	Diameter  float64 `json:"diameter_mm"`
	Expected  float64 `json:"expected_by_plan"`
	Mean      float64 `json:"mean"`
	Deviation float64 `json:"standard_deviation"`
	P50       int64   `json:"p50"`
	P90       int64   `json:"p90"`
	item      joint.Item
}

// likelyFactor is what is known of one item from its use, and what makes its
// spread.
type likelyFactor struct {
	Class     string       `json:"class"`
	Diameter  float64      `json:"diameter_mm"`
	Factor    float64      `json:"use_over_plan"`
	Known     float64      `json:"use_over_plan_deviation"`
	Raw       float64      `json:"use_over_plan_seen"`
	Weeks     int          `json:"weeks_behind_it"`
	Unplanned float64      `json:"not_planned_a_week"`
	Spread    []spreadPart `json:"spread"`
	item      joint.Item
}

type spreadPart struct {
	Source string  `json:"source"`
	Part   float64 `json:"part"`
}

func newLikelyAnswer(o app.Outlook) *likelyAnswer {
	s := o.Likely
	a := &likelyAnswer{Seed: s.Seed, Draws: s.Draws, Late: []float64{}, Started: o.Learnt.Started,
		Weeks: []likelyWeek{}, Items: []likelyFactor{}}
	for _, p := range o.Learnt.Late {
		a.Late = append(a.Late, rounded(p))
	}
	shown := map[joint.Item]bool{}
	for _, l := range s.Weeks {
		a.Weeks = append(a.Weeks, likelyWeek{Week: l.Week.String(), Class: l.Item.Class, Unit: gramsOf(l.Item), Diameter: millimetres(l.Item),
			Expected: rounded(l.Expected), Mean: rounded(l.Mean), Deviation: rounded(l.Deviation),
			P50: l.P50, P90: l.P90, item: l.Item})
		if !shown[l.Item] {
			shown[l.Item] = true
			a.Items = append(a.Items, newLikelyFactor(l.Item, s))
		}
	}
	return a
}

func newLikelyFactor(i joint.Item, s demand.Simulated) likelyFactor {
	k := s.Used[i]
	f := likelyFactor{Class: i.Class, Diameter: millimetres(i), Factor: rounded(k.Mean), Known: rounded(k.Deviation),
		Raw: rounded(k.Raw), Weeks: k.Weeks, Unplanned: rounded(s.Free[i]), Spread: []spreadPart{}, item: i}
	for _, p := range s.By[i] {
		f.Spread = append(f.Spread, spreadPart{p.Source.String(), rounded(p.Part)})
	}
	return f
}

// table is what to reckon with: half of all such weeks take no more than P50,
// nine of ten no more than P90.
func (a *likelyAnswer) table(units measure.UnitSystem) show.Table {
	noun := ""
	if nounOf(a.Weeks, func(w likelyWeek) joint.Item { return w.item }) == "rods" {
		noun = " in rods"
	}
	t := show.Table{Right: []int{2, 3, 4}, Head: []string{"week", "item", "by plan", "P50", "P90", "reckon with"},
		Title: "LIKELY NEED" + noun + ": P50 does in one week of two, P90 in nine of ten",
		Empty: "Nothing is likely to be needed in these weeks."}
	for _, w := range a.Weeks {
		if w.P90 == 0 && w.Expected == 0 { // a program is told of it all the same
			continue
		}
		say := func(n int64) string { return app.ItemAmount(w.item, n, units) }
		t.Add(w.Week, w.item.String(), say(int64(math.Round(w.Expected))), say(w.P50), say(w.P90), w.caution())
	}
	return t
}

// caution says in words how sure a week is.
func (w likelyWeek) caution() string {
	switch {
	case w.Expected == 0 && w.P50 == 0:
		return "by late or unplanned work only"
	case w.P50 == 0:
		return "may start later"
	case w.P90 > 2*w.P50:
		return "very unsure: P90 is over twice P50"
	case 2*w.P90 > 3*w.P50:
		return "unsure"
	}
	return ""
}

// footing says what makes the spread, item by item.
func (a *likelyAnswer) footing(p *show.Printer, units measure.UnitSystem) error {
	if a.Draws == 0 {
		return nil
	}
	var lines []string
	for _, f := range a.Items {
		lines = append(lines, fmt.Sprintf("%s: %s", f.item, f.text(units)))
	}
	title := fmt.Sprintf("WHAT MAKES THE SPREAD, seed %d, %d draws", a.Seed, a.Draws)
	return section(p, title, append(lines, a.lateText()))
}

func (f likelyFactor) text(units measure.UnitSystem) string {
	var parts []string
	for _, s := range f.Spread {
		if s.Part >= 0.005 {
			parts = append(parts, fmt.Sprintf("%s %.0f %%", s.Source, 100*s.Part))
		}
	}
	if len(parts) == 0 {
		parts = []string{"nothing"}
	}
	text := strings.Join(parts, ", ")
	if f.Weeks == 0 {
		text += fmt.Sprintf("; no past week says how use goes with the plan: taken as planned, give or take %.0f %%", 100*f.Known)
	} else {
		text += fmt.Sprintf("; use is taken as %.2f times the plan, give or take %.2f: %s took %.2f times",
			f.Factor, f.Known, counted(f.Weeks, "week", "weeks"), f.Raw)
	}
	if f.Unplanned > 0 {
		text += fmt.Sprintf("; %s a week are added for use that no joint explains", itemRate(f.item, f.Unplanned, units))
	}
	return text
}

// itemRate prints parts of a piece: 1.5 rods, 2.4 kg.
func itemRate(i joint.Item, n float64, units measure.UnitSystem) string {
	if metal.ByMass(i.Class) {
		return app.ItemAmount(i, int64(math.Round(n)), units)
	}
	return fmt.Sprintf("%.1f rods", n)
}

// lateText says how often jobs are taken to start late.
func (a *likelyAnswer) lateText() string {
	var late []string
	for weeks, p := range a.Late {
		if weeks > 0 && p >= 0.005 {
			late = append(late, fmt.Sprintf("%s %.0f %%", counted(weeks, "week", "weeks"), 100*p))
		}
	}
	from := "from memory"
	if a.Started > 0 {
		from = "from memory and " + counted(a.Started, "joint", "joints") + " that were started"
	}
	return fmt.Sprintf("jobs start late as one: %s (%s)", strings.Join(late, ", "), from)
}
