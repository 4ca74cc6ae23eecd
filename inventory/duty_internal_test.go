package inventory

import "testing"

func TestEveryKindOfFactSaysWhoMayRecordIt(t *testing.T) {
	t.Parallel()
	for kind := range entries {
		if duties[kind].words == "" {
			t.Errorf("kind %s: nobody said who may record it; add a line to duties in authority.go", kind)
		}
	}
}
