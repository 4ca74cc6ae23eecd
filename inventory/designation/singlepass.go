package designation

import "slices"

// singlePass are the usability numbers of A5.20 that are classified by single-pass tests,
// from memory: confirm them in the edition that applies.
var singlePass = []string{"2", "3", "10", "13", "14", "GS"}

// SinglePass tells whether the mark is classified by tests of a single pass only, so that
// nothing is known of the wire in a weld of several.
func (m Mark) SinglePass() bool {
	return (m.Spec == A518 && m.Fields["gs"] != "") ||
		(m.Spec == A520 && slices.Contains(singlePass, m.Fields["usability"])) ||
		(m.Spec == A536 && m.Fields["s"] != "")
}
