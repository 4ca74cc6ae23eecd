package plan

import (
	"fmt"
	"strings"

	"ovenward/forecast/joint"
	"ovenward/inventory/designation"
)

// Misplaced lists joints whose class is not for the position in which they are
// welded, by the position digit of the class, a sentence each. They are counted
// all the same: the joint will need filler, of another class.
func Misplaced(joints []joint.Joint) []string {
	type place struct {
		class    string
		position joint.Position
	}
	known := map[place]string{}
	var list []string
	for _, j := range joints {
		if j.Position == "" {
			continue
		}
		for _, p := range j.Passes {
			at := place{p.Item.Class, j.Position}
			why, asked := known[at]
			if !asked {
				why = misplaced(at.class, at.position)
				known[at] = why
			}
			if why != "" {
				list = append(list, fmt.Sprintf("%s %s, position %s: %s; plan another class, or turn the part", j.Job, j.ID, j.Position, why))
			}
		}
	}
	return list
}

// misplaced says why a class is not for a position; empty where it is, or where
// its mark says nothing of positions.
func misplaced(class string, p joint.Position) string {
	marks := designation.Candidates(class)
	if len(marks) == 0 {
		return ""
	}
	lacks, by := p.Lacks(marks[0])
	if len(lacks) == 0 {
		return ""
	}
	return fmt.Sprintf("%s is not for %s, by its %s", marks[0].Canonical, strings.Join(lacks, " and "), by)
}
