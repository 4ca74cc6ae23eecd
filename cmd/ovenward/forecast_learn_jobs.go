package main

import (
	"fmt"
	"math"

	"ovenward/cmd/internal/app"
	"ovenward/cmd/internal/show"
	"ovenward/forecast/demand"
	"ovenward/forecast/joint"
	"ovenward/inventory/measure"
)

// learnJob is a job with what its joints took, for a program.
type learnJob struct {
	Job      string   `json:"job"`
	Class    string   `json:"class"`
	Diameter float64  `json:"diameter_mm"`
	Joints   int      `json:"joints"`
	Expected float64  `json:"expected_by_plan"`
	Used     float64  `json:"used"`
	Ratio    *float64 `json:"use_over_plan"` // null: nothing was planned
	Open     int      `json:"slips_out"`
	Far      bool     `json:"far_from_norm"`
	item     joint.Item
}

// learnNorm is what the jobs' use over plan usually is.
type learnNorm struct {
	Jobs   int     `json:"jobs"` // lines behind it
	Median float64 `json:"median"`
	MAD    float64 `json:"mad"`
	Known  bool    `json:"known"` // there are enough lines to tell a job apart
}

func (a *learnAnswer) setJobs(l app.Learnt) {
	a.Jobs = []learnJob{}
	a.Norm = learnNorm{Jobs: l.Norm.Count, Median: rounded(l.Norm.Median), MAD: rounded(l.Norm.MAD), Known: l.Norm.Known()}
	for _, u := range l.Jobs {
		j := learnJob{Job: u.Job, Class: u.Item.Class, Diameter: millimetres(u.Item), Joints: u.Joints,
			Expected: rounded(u.Expected), Used: rounded(u.Used), Open: u.Open, Far: u.Far, item: u.Item}
		if u.Expected > 0 {
			j.Ratio = known(u.Ratio())
		}
		a.Jobs = append(a.Jobs, j)
	}
}

// jobTable prints the jobs.
func (a *learnAnswer) jobTable(units measure.UnitSystem) show.Table {
	t := show.Table{Right: []int{2, 3, 4, 5}, Title: "JOBS, the joints of each that rods went out for",
		Head:  []string{"job", "item", "joints", "by plan", "used", "use/plan", ""},
		Empty: "Nothing went out for a joint of a plan in these weeks.",
		Note:  a.Norm.words()}
	for _, j := range a.Jobs {
		say := func(n float64) string { return app.ItemAmount(j.item, int64(math.Round(n)), units) }
		ratio := "-"
		if j.Ratio != nil {
			ratio = fmt.Sprintf("%.2f", *j.Ratio)
		}
		t.Add(j.Job, j.item.String(), fmt.Sprint(j.Joints), say(j.Expected), say(j.Used), ratio, j.remark(a.Norm.Median))
	}
	return t
}

// remark says why a job deserves a look, or does not count.
func (j learnJob) remark(median float64) string {
	switch {
	case j.Open > 0:
		return counted(j.Open, "slip", "slips") + " still out"
	case j.Ratio == nil:
		return "not planned for it"
	case j.Far && *j.Ratio > median:
		return "FAR MORE than usual"
	case j.Far:
		return "FAR LESS than usual, or not finished"
	}
	return ""
}

func (n learnNorm) words() string {
	if !n.Known {
		return fmt.Sprintf("too few jobs are back to say what is usual: %d lines of the %d that are needed", n.Jobs, demand.FewestForNorm)
	}
	return fmt.Sprintf("usual is %.2f, the median of %d lines, give or take %.2f (median of their distances); "+
		"far is above 3.5 by the modified score 0.6745 x distance / that", n.Median, n.Jobs, n.MAD)
}
