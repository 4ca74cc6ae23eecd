package rules_test

import (
	"testing"

	"ovenward/storage/rules"
)

func TestEveryShippedSetIsSound(t *testing.T) {
	t.Parallel()
	for _, id := range rules.ShippedIDs() {
		s, err := rules.Shipped(id)
		if err != nil {
			t.Errorf("Shipped(%s): %v", id, err)
			continue
		}
		if s.ID != id {
			t.Errorf("the file %s.toml holds the set %q", id, s.ID)
		}
	}
}
