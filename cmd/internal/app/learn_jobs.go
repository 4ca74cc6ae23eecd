package app

import (
	"cmp"
	"context"
	"errors"
	"slices"

	"ovenward/forecast/demand"
	"ovenward/forecast/joint"
	"ovenward/inventory"
	"ovenward/inventory/measure"
)

// UsedJob is what the joints of a job that rods went out for took of one item,
// against what the plan expects of these joints.
type UsedJob struct {
	Job      string
	Item     joint.Item
	Joints   int     // of the job, that rods went out for
	Expected float64 // pieces, by the plan in force when the first went out for each joint
	Used     float64 // pieces; of a slip that names joints of several jobs, the same for each joint
	Open     int     // slips of the job that are still out, so that its use is not known
	Far      bool    // from the norm of the jobs
}

// Ratio is use over plan; zero where nothing was planned.
func (u UsedJob) Ratio() float64 {
	if u.Expected == 0 {
		return 0
	}
	return u.Used / u.Expected
}

// told reports whether the job says what the norm is.
func (u UsedJob) told() bool { return u.Expected > 0 && u.Open == 0 }

// jobUse adds up a job.
type jobUse struct {
	joints []joint.Joint
	used   map[joint.Item]float64
	open   int
}

func (l *learner) job(name string) *jobUse {
	if l.jobs[name] == nil {
		l.jobs[name] = &jobUse{used: map[joint.Item]float64{}}
	}
	return l.jobs[name]
}

// begin adds a joint to its job when rods go out for it first.
func (l *learner) begin(j *joint.Joint) {
	u := l.job(j.Job)
	u.joints = append(u.joints, *j)
}

// addToJobs shares a slip's use among the jobs of the joints that it names.
func (l *learner) addToJobs(i joint.Item, s inventory.Slip, named []*joint.Joint) {
	for at, j := range named {
		u := l.job(j.Job)
		switch {
		case !l.isOut(s):
			u.used[i] += float64(wentOut(s).used()) / float64(len(named))
		case !slices.ContainsFunc(named[:at], func(o *joint.Joint) bool { return o.Job == j.Job }):
			u.open++
		}
	}
}

// finishJobs sets each job against its joints' plan, and tells those that are far
// from the norm of all.
func (l *learner) finishJobs() error {
	for name, u := range l.jobs {
		if err := l.finishJob(name, u); err != nil {
			return err
		}
	}
	slices.SortFunc(l.out.Jobs, func(a, b UsedJob) int {
		return cmp.Or(cmp.Compare(a.Job, b.Job), a.Item.Compare(b.Item))
	})
	var ratios []float64
	for _, u := range l.out.Jobs {
		if u.told() {
			ratios = append(ratios, u.Ratio())
		}
	}
	l.out.Norm = demand.NormOf(ratios)
	for i := range l.out.Jobs {
		u := &l.out.Jobs[i]
		u.Far = u.told() && l.out.Norm.Far(u.Ratio())
	}
	return nil
}

func (l *learner) finishJob(name string, u *jobUse) error {
	expected, err := demand.Expect(demand.Input{Joints: u.joints, Catalogue: l.s.tables.Metal, Named: l.s.tables.Named, Allowances: l.allow})
	if err != nil {
		return err
	}
	items := map[joint.Item]*UsedJob{}
	at := func(i joint.Item) *UsedJob {
		if items[i] == nil {
			items[i] = &UsedJob{Job: name, Item: i, Joints: len(u.joints), Open: u.open}
		}
		return items[i]
	}
	for _, week := range expected {
		for i, n := range week {
			at(i).Expected += n
		}
	}
	for i, n := range u.used {
		at(i).Used = n
	}
	for _, k := range items {
		l.out.Jobs = append(l.out.Jobs, *k)
	}
	return nil
}

// LearnOver compares what went out from one instant up to another with the plans
// that were in force when its weeks began, as seen at an instant; where no plan
// was loaded all use is not planned.
func (a *App) LearnOver(ctx context.Context, from, to, at measure.Instant) (l Learnt, err error) {
	err = a.read(ctx, at, func(v *view) error {
		planned, err := v.planned(0)
		if _, none := errors.AsType[*inventory.Refusal](err); err != nil && !none {
			return err
		}
		s, err := v.weigh(planned.Plan.Joints)
		if err != nil {
			return err
		}
		l, err = v.learnOver(s, demand.Allowances{}, from, to)
		return err
	})
	return l, err
}
