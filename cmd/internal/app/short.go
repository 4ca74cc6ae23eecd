package app

import (
	"errors"

	"ovenward/inventory"
	"ovenward/inventory/jobdb"
	"ovenward/migrations/db"
)

// short returns what the lot of a slip is short of for the joints and the job
// that it went to, by what is known now: a paper that was rejected since, a test
// that was made as welded only for a joint that is heat treated.
func (v *view) short(s inventory.Slip) ([]string, error) {
	if len(s.Joints) == 0 && s.Job == "" {
		return nil, nil
	}
	l, err := v.lot(s.Lot)
	if err != nil {
		return nil, err
	}
	papers, err := v.papers(l)
	if err != nil {
		return nil, err
	}
	var out []string
	for _, name := range s.Joints {
		j, ok, err := v.joint(name)
		if err != nil {
			return nil, err
		}
		if ref, no := errors.AsType[*inventory.Refusal](j.TakesTests(l, papers)); ok && no {
			out = append(out, "tested condition mismatch: "+ref.Why)
		}
	}
	job, err := jobdb.Job(v.ctx, v.tx, v.site, s.Job, v.at)
	if err != nil {
		return out, ignoreMissing(err)
	}
	demand, err := job.Demand()
	if ref, no := errors.AsType[*inventory.Refusal](demand.Refuse(l, papers)); no {
		out = append(out, "certificate: "+ref.Why)
	}
	return out, err
}

// joint returns a joint as it stood at the view's instant; false where nobody
// had set it up.
func (v *view) joint(name string) (j inventory.Joint, ok bool, err error) {
	set, err := jobdb.Joint(v.ctx, v.tx, v.site, name, v.at)
	if errors.Is(err, db.ErrNotFound) {
		return j, false, nil
	}
	if err == nil {
		j, err = set.Read()
	}
	return j, err == nil, err
}
