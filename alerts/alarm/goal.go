package alarm

// Goal is a figure beside what is thought acceptable.
type Goal struct {
	Name   string
	Value  float64
	Good   float64 // at most, or below where Under is set
	Most   float64 // what can still be managed; zero: nothing beyond what is good
	Under  bool
	Share  bool // both are shares of 1
	Source string
}

// Met reports whether the figure is acceptable.
func (g Goal) Met() bool { return g.Value < g.Good || (!g.Under && g.Value == g.Good) }

// Manageable reports whether the figure is at least one that can be managed.
func (g Goal) Manageable() bool { return g.Met() || (g.Most > 0 && g.Value <= g.Most) }

// FewDays is how many days a record is to have at least for its figures to be
// judged by goals. Source: ISA-18.2.
const FewDays = 30

// Goals holds the figures against what is thought acceptable, per operator. The
// figures of the goals are those of ISA-18.2 (2009 edition for the day) and
// EEMUA 191, by published accounts of them.
func (f Figures) Goals(operators int) []Goal {
	const isa = "ISA-18.2"
	each := float64(max(1, operators))
	return []Goal{
		{Name: "raised per day", Value: f.PerDay, Good: 150, Most: 300, Source: isa + ", 2009 edition"},
		{Name: "raised per hour", Value: f.PerHour, Good: 6, Most: 12, Source: isa},
		{Name: "raised per 10 min", Value: f.PerTen, Good: 1, Most: 2, Source: isa},
		{Name: "most in 10 min", Value: float64(f.Peak) / each, Good: FloodBegins, Source: isa + ", EEMUA 191"},
		{Name: "time in flood", Value: f.Flood.Share, Good: 0.01, Under: true, Share: true, Source: isa},
		{Name: "chattering", Value: float64(len(f.Chattering)), Source: isa},
		{Name: "stale, most on a day", Value: float64(f.StaleMost), Good: 5, Under: true, Source: isa},
		{Name: "high priority", Value: f.Share(High), Good: 0.05, Share: true, Source: isa + ": about"},
		{Name: "medium priority", Value: f.Share(Medium), Good: 0.15, Share: true, Source: isa + ": about"},
		{Name: "share of the ten worst", Value: f.TopShare, Good: 0.05, Share: true, Source: isa + ", for large plants"},
	}
}
