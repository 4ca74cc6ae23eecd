package designation_test

import (
	"slices"
	"testing"

	"ovenward/inventory/designation"
)

// TestPositionDigitsSayWhereAClassIsFor holds the digits of each grammar, from
// memory of the specifications' tables.
func TestPositionDigitsSayWhereAClassIsFor(t *testing.T) {
	t.Parallel()
	all := []designation.Attitude{designation.Flat, designation.HorizontalFillet, designation.Horizontal,
		designation.VerticalUp, designation.VerticalDown, designation.Overhead}
	for _, c := range []struct {
		mark  string
		lacks []designation.Attitude
		by    string
	}{
		{"E7018", nil, "position digit 1"},
		{"E7024", all[2:], "position digit 2"},
		{"E7048", []designation.Attitude{designation.VerticalUp}, "position digit 4"},
		{"E8018-C3", nil, "position digit 1"},
		{"E 42 4 B 42 H5", []designation.Attitude{designation.VerticalDown}, "position digit 2"},
		{"E 38 2 RA 73", all[2:], "position digit 3"},
		{"E 38 0 RR 74", all[1:], "position digit 4"},
		{"E 42 3 C 25", []designation.Attitude{designation.Horizontal, designation.VerticalUp, designation.Overhead}, "position digit 5"},
		{"E4928 A", all[3:], "covering 28"},
		{"E4918-1 A U H5", nil, "covering 18"},
		{"E308L-26", all[3:], "usability 26"},
		{"E308L-16", nil, "usability 16"},
		{"E70T-4", all[3:], "position digit 0"},
		{"E71T8-A4-CS3-H8", nil, "position digit 1"},
		{"EM12K", all[3:], "submerged arc"},
		{"ER70S-6", all, ""}, // says nothing
	} {
		m, err := designation.Parse(c.mark, "")
		if err != nil {
			t.Fatal(err)
		}
		got, by := m.Positions()
		var lacks []designation.Attitude
		for _, a := range all {
			if !slices.Contains(got, a) {
				lacks = append(lacks, a)
			}
		}
		if !slices.Equal(lacks, c.lacks) || by != c.by {
			t.Errorf("%s is not for %v by %q, want %v by %q", c.mark, lacks, by, c.lacks, c.by)
		}
	}
}
