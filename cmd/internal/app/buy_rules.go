package app

import (
	"slices"

	"ovenward/inventory"
	"ovenward/inventory/measure"
	"ovenward/storage/ruledb"
	"ovenward/storage/rules"
)

// jobRules is the rule set that judges papers for each job.
type jobRules struct {
	site *rules.Set            // nil: none is in force
	own  map[string]*rules.Set // of jobs whose own set may judge papers otherwise
}

// paperRules returns the rule sets that judge papers.
func (v *view) paperRules() (jobRules, error) {
	site, err := v.setFor(inventory.Bundle{}, "")
	if err != nil {
		return jobRules{}, err
	}
	byJob, err := ruledb.Own(v.ctx, v.tx, v.site)
	if err != nil {
		return jobRules{}, err
	}
	r := jobRules{site: site, own: map[string]*rules.Set{}}
	for job, id := range byJob {
		set, err := v.setByID(id)
		if err != nil {
			return jobRules{}, err
		}
		if !samePapers(site, set) {
			r.own[job] = set
		}
	}
	return r, nil
}

// samePapers reports whether two sets surely say the same of papers: one set, or
// two without rows about them that take an old test alike.
func samePapers(a, b *rules.Set) bool {
	switch {
	case a == nil:
		return len(b.Certificate) == 0 && b.Issue.TestAge != rules.Refused
	case a.ID == b.ID:
		return true
	default:
		return len(a.Certificate)+len(b.Certificate) == 0 && a.Issue.TestAge == b.Issue.TestAge
	}
}

// judgedBy sets the rule set of a job.
func (a *asks) judgedBy(r jobRules, job string) {
	if a.set = r.own[job]; a.set != nil {
		a.own = true
		return
	}
	a.set = r.site
}

// demands returns what the jobs and their rule set ask of the papers of stock.
func (a *asks) demands(of rules.Subject) []inventory.Demand {
	list := []inventory.Demand{a.demand}
	if a.set != nil {
		list = append(list, a.set.Demands(of)...)
	}
	return list
}

// order puts into an order what the papers must show, so that what comes may go
// out.
func (b *Bought) order(demands []inventory.Demand) {
	for _, d := range demands {
		b.Ask.Certificate = max(b.Ask.Certificate, d.Kind) // 2.1 < 2.2 < 3.1 < 3.2
		b.Ask.Actual = b.Ask.Actual || d.Actual
		if d.MaxAge != (inventory.Age{}) && (b.MaxAge == inventory.Age{} || shorter(d.MaxAge, b.MaxAge)) {
			b.MaxAge = d.MaxAge
		}
		for _, name := range d.Approvals {
			if !slices.Contains(b.Approval, name) {
				b.Approval = append(b.Approval, name)
			}
		}
	}
}

// shorter compares two ages, months among them, as from one and the same day.
func shorter(a, b inventory.Age) bool {
	const day measure.Date = "2025-01-01"
	return a.After(day) < b.After(day)
}
