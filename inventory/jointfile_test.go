package inventory_test

import (
	"strings"
	"testing"

	"ovenward/inventory"
)

// FuzzReadJoints: whatever a file holds, a list comes back whole or not at all,
// every joint of it has a name of its own and can be read again.
func FuzzReadJoints(f *testing.F) {
	f.Add("joint,job,classes,diameters,welders\nJ-1,A,E7018;E8018-C3,3.2 mm,W3;W7\n")
	f.Add("\ufeffJoint,Heat Treated,heat_time,base metal\nJ-9,yes,8h,A514\nJ-9,no,,\n")
	f.Add("joint,joint\nJ-1,J-2\n")
	f.Add("joint,classes\n,E7018\n")
	f.Add("joint\n\"J-1\n")
	f.Fuzz(func(t *testing.T, text string) {
		list, err := inventory.ReadJoints(strings.NewReader(text))
		if err != nil && list != nil {
			t.Fatalf("%d joints beside the error %v", len(list), err)
		}
		seen := map[string]bool{}
		for _, j := range list {
			if _, err := j.Read(); err != nil || seen[j.Joint] {
				t.Fatalf("joint %q: read again: %v, twice: %t", j.Joint, err, seen[j.Joint])
			}
			seen[j.Joint] = true
		}
	})
}
