package feed_test

import (
	"errors"
	"testing"

	"ovenward/storage/feed"
)

// The bits of numbers are those of IEEE 754 and of two's complement, worked out by
// hand: 121.25 is 0x42F28000.
func TestRegistersHoldTemperatures(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		name  string
		r     feed.Register
		words []uint16
		want  string
	}{
		{"tenths", feed.Register{Form: "int16", Scale: 0.1, Unit: "C"}, []uint16{1212}, "121.2C"},
		{"below zero", feed.Register{Form: "int16", Scale: 0.1, Unit: "C"}, []uint16{0xFFCE}, "-5C"},
		{"Fahrenheit", feed.Register{Form: "uint16", Scale: 1, Unit: "F"}, []uint16{250}, "250F"},
		{"an offset", feed.Register{Form: "uint16", Scale: 0.1, Offset: -100, Unit: "C"}, []uint16{2212}, "121.2C"},
		{"float", feed.Register{Form: "float32", Scale: 1, Unit: "C"}, []uint16{0x42F2, 0x8000}, "121.25C"},
		{"float, low word first", feed.Register{Form: "float32", LowHigh: true, Scale: 1, Unit: "C"}, []uint16{0x8000, 0x42F2}, "121.25C"},
		{"thousandths", feed.Register{Form: "int32", Scale: 0.001, Unit: "C"}, []uint16{1, 0xD97C}, "121.212C"},
		{"thousandths, low word first", feed.Register{Form: "uint32", LowHigh: true, Scale: 0.001, Unit: "C"}, []uint16{0xD97C, 1}, "121.212C"},
	} {
		got, err := tt.r.Temperature(tt.words)
		if want := celsius(t, tt.want); err != nil || got != want {
			t.Errorf("%s: %s, %v, want %s", tt.name, got, err, want)
		}
	}
}

func TestARegisterMaySayThatItsProbeIsBroken(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		r     feed.Register
		words []uint16
		want  error
	}{
		{feed.Register{Form: "int16", Scale: 0.1, Unit: "C", Broken: []int64{-32768, 32767}}, []uint16{0x8000}, feed.ErrBroken},
		{feed.Register{Form: "uint16", Scale: 0.1, Unit: "C", Broken: []int64{65535}}, []uint16{0xFFFF}, feed.ErrBroken},
		{feed.Register{Form: "float32", Scale: 1, Unit: "C"}, []uint16{0x7FC0, 0}, feed.ErrNoNumber}, // not a number
		{feed.Register{Form: "float32", Scale: 1, Unit: "F"}, []uint16{0xFF80, 0}, feed.ErrNoNumber}, // minus infinity
		{feed.Register{Form: "int16", Scale: 1, Unit: "C"}, []uint16{0xFE00}, feed.ErrNoNumber},      // -512 °C
	} {
		if _, err := tt.r.Temperature(tt.words); !errors.Is(err, tt.want) {
			t.Errorf("%+v of %x: %v, want %v", tt.r, tt.words, err, tt.want)
		}
	}
	for _, words := range [][]uint16{nil, {1, 2}} {
		if got, err := (feed.Register{Form: "int16", Scale: 1}).Temperature(words); err == nil {
			t.Errorf("%d registers: %s, want an error", len(words), got)
		}
	}
}
