package designation_test

import (
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"ovenward/inventory/designation"
)

// Class strengths: the tables of A5.1 and A5.5, in which 43, 49, 55, 62, 69, 76 and 83
// x 10 MPa stand for 60, 70, 80, 90, 100, 110 and 120 ksi (from memory). Families: the
// covering tables of A5.1 (UFC 3-320-01A table C-2) and ISO 2560.
func TestMarkHasFieldsThatRulesMatch(t *testing.T) {
	t.Parallel()
	type M = designation.Mark
	tests := []struct {
		text string
		hint designation.Spec
		want M
	}{
		{"E7018", "", M{Spec: "A5.1", Canonical: "E7018", Strength: 70, StrengthKSI: 70, Position: "1",
			Covering: "18", Family: "low-hydrogen"}},
		{"E7018-1H4R", "", M{Spec: "A5.1", Canonical: "E7018-1 H4R", Strength: 70, StrengthKSI: 70, Position: "1",
			Covering: "18", Family: "low-hydrogen", Hydrogen: 4, R: true, One: true}},
		{"E7018R", "", M{Spec: "A5.1", Canonical: "E7018 R", Strength: 70, StrengthKSI: 70, Position: "1",
			Covering: "18", Family: "low-hydrogen", R: true}},
		{"E7018M", "", M{Spec: "A5.1", Canonical: "E7018M", Strength: 70, StrengthKSI: 70, Position: "1",
			Covering: "18", Family: "low-hydrogen", M: true}},
		{"E7024-1", "", M{Spec: "A5.1", Canonical: "E7024-1", Strength: 70, StrengthKSI: 70, Position: "2",
			Covering: "24", Family: "rutile", One: true}},
		{"E4918", "A5.1", M{Spec: "A5.1", Canonical: "E4918", Strength: 49, StrengthKSI: 70, Position: "1",
			Covering: "18", Family: "low-hydrogen"}},
		{"E6018", "", M{Spec: "A5.1", Canonical: "E6018", Strength: 60, StrengthKSI: 60, Position: "1",
			Covering: "18", Family: "low-hydrogen"}},
		{"E8018-C3H4R", "", M{Spec: "A5.5", Canonical: "E8018-C3 H4R", Strength: 80, StrengthKSI: 80, Position: "1",
			Covering: "18", Family: "low-hydrogen", Hydrogen: 4, R: true, Alloy: "C3"}},
		{"E11018-M H4R", "", M{Spec: "A5.5", Canonical: "E11018M H4R", Strength: 110, StrengthKSI: 110, Position: "1",
			Covering: "18", Family: "low-hydrogen", Hydrogen: 4, R: true, M: true, Alloy: "M"}},
		{"E10018-D2", "", M{Spec: "A5.5", Canonical: "E10018-D2", Strength: 100, StrengthKSI: 100, Position: "1",
			Covering: "18", Family: "low-hydrogen", Alloy: "D2"}},
		{"E12018-M1", "", M{Spec: "A5.5", Canonical: "E12018-M1", Strength: 120, StrengthKSI: 120, Position: "1",
			Covering: "18", Family: "low-hydrogen", Alloy: "M1"}},
		{"E7618M", "", M{Spec: "A5.5", Canonical: "E7618M", Strength: 76, StrengthKSI: 110, Position: "1",
			Covering: "18", Family: "low-hydrogen", M: true, Alloy: "M"}},
		{"E8010-P1", "", M{Spec: "A5.5", Canonical: "E8010-P1", Strength: 80, StrengthKSI: 80, Position: "1",
			Covering: "10", Family: "cellulosic", Alloy: "P1"}},
		{"e46 6 mn1ni b 42 h5", "", M{Spec: "ISO 2560-A", Canonical: "E 46 6 Mn1Ni B 42 H5", Strength: 46,
			Position: "2", Covering: "B", Family: "low-hydrogen", Hydrogen: 5, Alloy: "MN1NI"}},
		{"E 42 4 Z (3Ni, Mo) B", "", M{Spec: "ISO 2560-A", Canonical: "E 42 4 Z(3NI,MO) B", Strength: 42,
			Covering: "B", Family: "low-hydrogen", Alloy: "Z(3NI,MO)"}},
		{"E4918-1 A U H5", "", M{Spec: "ISO 2560-B", Canonical: "E4918-1 A U H5", Strength: 49,
			Covering: "18", Family: "low-hydrogen", Hydrogen: 5, One: true}},
		{"E5516-3N3 A H10", "", M{Spec: "ISO 2560-B", Canonical: "E5516-3N3 A H10", Strength: 55,
			Covering: "16", Family: "low-hydrogen", Hydrogen: 10, Alloy: "3N3"}},
		{"E309LMO-16", "", M{Spec: "A5.4", Canonical: "E309LMo-16", Family: "stainless", Alloy: "309LMO"}},
		{"E71T-9C J Q-H8", "", M{Spec: "A5.20", Canonical: "E71T-9C-JQ H8", Strength: 7, Position: "1",
			Family: "cored-wire", Hydrogen: 8}},
		{"E111T1-M21A8-K3 H4", "", M{Spec: "A5.36", Canonical: "E111T1-M21A8-K3-H4", Strength: 11, Position: "1",
			Family: "cored-wire", Hydrogen: 4, Alloy: "K3"}},
		{"E81T1-M21A6-Ni1", "", M{Spec: "A5.36", Canonical: "E81T1-M21A6-Ni1", Strength: 8, Position: "1",
			Family: "cored-wire", Alloy: "NI1"}},
		{"FS7A2-EM12K H8", "", M{Spec: "A5.17", Canonical: "FS7A2-EM12K-H8", Strength: 7,
			Family: "saw-flux", Hydrogen: 8}},
		{"F48P6-EH12K", "", M{Spec: "A5.17", Canonical: "F48P6-EH12K", Strength: 48, Family: "saw-flux"}},
		{"ER70S-2N-H4", "", M{Spec: "A5.18", Canonical: "ER70S-2N H4", Strength: 70,
			Family: "solid-wire", Hydrogen: 4}},
		{"E70C-GSM", "", M{Spec: "A5.18", Canonical: "E70C-GSM", Strength: 70, Family: "cored-wire"}},
	}
	for _, tt := range tests {
		got, err := designation.Parse(tt.text, tt.hint)
		if err != nil {
			t.Errorf("Parse(%q): %v", tt.text, err)
			continue
		}
		tt.want.Raw = tt.text
		if diff := cmp.Diff(tt.want, got, cmpopts.IgnoreFields(M{}, "Fields")); diff != "" {
			t.Errorf("Parse(%q) (-want +got):\n%s", tt.text, diff)
		}
	}
}

// The coverings of A5.1, of ISO 2560-A and of ISO 2560-B by family. E7014 and E7024 begin
// like E7018 and are not low-hydrogen; RB is rutile-basic; 40 is what the maker says.
func TestFamilyFollowsFromCovering(t *testing.T) {
	t.Parallel()
	families := map[designation.Family][]string{
		designation.Cellulosic: {"E6010", "E6011", "E 38 3 C 21", "E5510 AP"},
		designation.Rutile: {"E6012", "E6013", "E7014", "E7024", "E 38 0 R 11", "E 42 0 RR 12", "E 38 0 RC 11",
			"E 38 2 RA 12", "E 38 2 RB 12", "E4303 A", "E4313 A"},
		designation.LowHydrogen: {"E7015", "E7016", "E7018", "E7018M", "E7028", "E7048", "E6018", "E9015-B9",
			"E 42 4 B 42 H5", "E4945 A", "E4948 A"},
		designation.IronOxide:   {"E6019", "E6020", "E6022", "E6027", "E7027", "E4920 A"},
		designation.Acid:        {"E 42 0 A 13"},
		designation.MakerStated: {"E4940 A"},
		designation.Stainless:   {"E308L-15", "E308L-16", "E316L-17", "E316L-26"},
		designation.SolidWire:   {"ER70S-6"},
		designation.CoredWire:   {"E70C-6M", "E71T-1C", "E71T8-A4-NI1-H8"},
		designation.SAWFlux:     {"F7A2-EM12K"},
	}
	for want, texts := range families {
		for _, text := range texts {
			m, err := designation.Parse(text, "")
			if err != nil {
				t.Errorf("Parse(%q): %v", text, err)
				continue
			}
			if m.Family != want {
				t.Errorf("family of %q = %q, want %q", text, m.Family, want)
			}
			if m.LowHydrogen() != (want == designation.LowHydrogen) {
				t.Errorf("LowHydrogen() of %q = %t, want family %q", text, m.LowHydrogen(), want)
			}
		}
	}
}

func TestWarningsNameWhatIsUnknown(t *testing.T) {
	t.Parallel()
	noGas := "no gas mark: the form printed before it was required, the gas is unknown"
	tests := []struct {
		text string
		want []string
	}{
		{"E71T-1", []string{noGas}},
		{"E71T1-A2-CS1", []string{noGas}},
		{"E71T-1C", nil},
		{"E71T-8", nil}, // self-shielded: no gas is right
		{"E71T-GS", nil},
		{"E70C-6", []string{"no gas mark: the gas is unknown"}},
		{"E310-15", nil},
		{"E999-16", []string{"alloy 999 is not in the A5.4 table: check the label against the current edition"}},
		{"E81T1-M21A6-XY1-H4", []string{
			"deposit XY1 is not in the A5.36 table: check the label against the current edition"}},
	}
	for _, tt := range tests {
		m, err := designation.Parse(tt.text, "")
		if err != nil {
			t.Errorf("Parse(%q): %v", tt.text, err)
			continue
		}
		if diff := cmp.Diff(tt.want, m.Warnings); diff != "" {
			t.Errorf("warnings of %q (-want +got):\n%s", tt.text, diff)
		}
	}
}

// The suffixes of A5.5 in the standard's families (UFC 3-320-01A table C-2; single
// suffixes from memory). M is tested at 90 ksi, where its classes begin.
func TestEveryListedAlloySuffixIsRead(t *testing.T) {
	t.Parallel()
	suffixes := []string{
		"A1", "B1", "B2", "B2L", "B3", "B3L", "B4L", "B5", "B6", "B6L", "B7", "B7L", "B8", "B8L", "B9", "B91",
		"B92", "B23", "B24", "C1", "C1L", "C2", "C2L", "C3", "C3L", "C4", "C5L", "NM1", "D1", "D2", "D3", "G",
		"M1", "P1", "P2", "W1", "W2", "M",
	}
	for _, suffix := range suffixes {
		m, err := designation.Parse("E9018-"+suffix+"H4R", designation.A55)
		if err != nil {
			t.Errorf("suffix %s: %v", suffix, err)
			continue
		}
		if m.Alloy != suffix || m.Hydrogen != 4 || !m.R {
			t.Errorf("suffix %s read as alloy %q, H%d, R %t", suffix, m.Alloy, m.Hydrogen, m.R)
		}
	}
}
