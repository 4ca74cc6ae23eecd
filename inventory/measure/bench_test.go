package measure_test

import (
	"testing"
	"time"

	"ovenward/inventory/measure"
)

// An import of readings parses one instant and one temperature a row.
func BenchmarkParseTemperature(b *testing.B) {
	for b.Loop() {
		if _, err := measure.ParseTemperature("121.5 C"); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkParseInstant(b *testing.B) {
	zone, err := time.LoadLocation("America/Halifax")
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := measure.ParseInstant("2025-06-05 07:30", zone); err != nil {
			b.Fatal(err)
		}
	}
}
