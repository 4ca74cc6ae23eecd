package plan

import (
	"slices"

	"ovenward/forecast/joint"
)

// Key names a joint: the number on the drawing is one of its job's.
type Key struct{ Job, Joint string }

// Over lays a plan over another: a joint that both have is that of p, one that p
// says is done leaves, and the others of base stay. What could not be read of
// either is kept.
func (p Plan) Over(base Plan) Plan {
	given := map[Key]bool{}
	for _, j := range p.Joints {
		given[Key{j.Job, j.ID}] = true
	}
	for _, k := range p.Done {
		given[k] = true
	}
	out := Plan{Done: slices.Clone(p.Done)}
	for _, j := range base.Joints {
		if !given[Key{j.Job, j.ID}] {
			out.Joints = append(out.Joints, j)
		}
	}
	out.Joints = append(out.Joints, p.Joints...)
	out.Problems = slices.Concat(base.Problems, p.Problems)
	out.Warnings = slices.Concat(base.Warnings, p.Warnings)
	return out
}

// Changed says how many joints of a plan are new against the one before it, and
// how many that had it are not in it or otherwise.
func (p Plan) Changed(before Plan) (added, changed, left int) {
	old := map[Key]joint.Joint{}
	for _, j := range before.Joints {
		old[Key{j.Job, j.ID}] = j
	}
	for _, j := range p.Joints {
		was, known := old[Key{j.Job, j.ID}]
		switch {
		case !known:
			added++
		case !same(was, j):
			changed++
		}
		delete(old, Key{j.Job, j.ID})
	}
	return added, changed, len(old)
}

func same(a, b joint.Joint) bool {
	return a.Week == b.Week && a.Preparation == b.Preparation && a.Sizes == b.Sizes && a.Quantity == b.Quantity && a.Position == b.Position &&
		slices.Equal(a.Passes, b.Passes)
}
