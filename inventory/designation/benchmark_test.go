package designation_test

import (
	"testing"

	"ovenward/inventory/designation"
)

func BenchmarkParse(b *testing.B) {
	for b.Loop() {
		if _, err := designation.Parse("E7018-1 H4R", ""); err != nil {
			b.Fatal(err)
		}
	}
}
